package leastsq

import (
	"math"
	"slices"
	"strconv"
	"testing"
)

// linearSet is one NIST StRD linear set: rows of the model's columns, and what is certified about it.
type linearSet struct {
	name                 string
	y                    []float64
	columns              [][]float64
	certified, deviation []float64
	residualDeviation    float64
}

// degrees of the sets that are polynomials, and whether they pass through the origin.
var linearDegrees = map[string]struct{ from, to int }{
	"Filip": {0, 10}, "NoInt1": {1, 1}, "NoInt2": {1, 1}, "Norris": {0, 1}, "Pontius": {0, 2},
	"Wampler1": {0, 5}, "Wampler2": {0, 5}, "Wampler3": {0, 5}, "Wampler4": {0, 5}, "Wampler5": {0, 5},
}

func linearSets(t *testing.T) (sets []linearSet) {
	t.Helper()
	certified := readTable(t, "linear_certified.csv")
	value, deviation, residual := certified.column("certified"), certified.column("deviation"), certified.column("residual_deviation")
	for i, name := range certified.text("set") {
		if len(sets) == 0 || sets[len(sets)-1].name != name {
			sets = append(sets, linearSet{name: name, residualDeviation: residual[i]})
		}
		s := &sets[len(sets)-1]
		s.certified, s.deviation = append(s.certified, value[i]), append(s.deviation, deviation[i])
	}
	data := readTable(t, "linear_data.csv")
	of := data.text("set")
	y, x := data.column("y"), data.column("x1")
	for i := range y {
		s := &sets[slices.IndexFunc(sets, func(s linearSet) bool { return s.name == of[i] })]
		s.y = append(s.y, y[i])
		row := []float64{1}
		if d, polynomial := linearDegrees[of[i]]; polynomial {
			row = row[:0]
			for k := d.from; k <= d.to; k++ {
				row = append(row, math.Pow(x[i], float64(k)))
			}
		} else {
			for _, text := range data.rows[i][2:] {
				v, err := strconv.ParseFloat(text, 64)
				if err != nil {
					t.Fatal(err)
				}
				row = append(row, v)
			}
		}
		for k, v := range row {
			if k == len(s.columns) {
				s.columns = append(s.columns, nil)
			}
			s.columns[k] = append(s.columns[k], v)
		}
	}
	return sets
}

// block is the set as residuals of the general engine.
func (s linearSet) block() Block {
	p := len(s.columns)
	return Block{Rows: len(s.y), Local: p, Eval: func(local, _, residual, jacobian []float64) bool {
		for i, y := range s.y {
			residual[i] = -y
			for k, column := range s.columns {
				residual[i] += local[k] * column[i]
				if jacobian != nil {
					jacobian[i*p+k] = column[i]
				}
			}
		}
		return true
	}}
}

// NIST StRD linear: digits that must be had of coefficients and of their standard deviations. The values of Filip's tenth
// power span sixteen decades: normal equations have no digit of it.
func TestCertifiedLinearSets(t *testing.T) {
	least := map[string]float64{
		"Norris": 11, "Pontius": 11, "NoInt1": 11, "NoInt2": 11, "Longley": 8, "Filip": 6,
		"Wampler1": 6, "Wampler2": 6, "Wampler3": 6, "Wampler4": 6, "Wampler5": 6,
	}
	sets := linearSets(t)
	if len(sets) != len(least) {
		t.Fatalf("%d sets, want %d", len(sets), len(least))
	}
	for _, s := range sets {
		l := NewLinear(len(s.y), len(s.columns))
		l.Start(s.y)
		for _, column := range s.columns {
			l.Append(column)
		}
		b := make([]float64, len(s.columns))
		l.Coefficients(b)
		value := 11.0
		for k, want := range s.certified {
			value = math.Min(value, agreement(b[k], want))
		}
		deviation := s.deviationDigits(t, l.SumOfSquares())
		t.Logf("%-8s coefficients %4.1f, deviations %4.1f digits", s.name, value, deviation)
		if value < least[s.name] || deviation < math.Min(least[s.name], 6) {
			t.Errorf("%s: coefficients to %.1f digits, deviations to %.1f, want %v", s.name, value, deviation, least[s.name])
		}
	}
}

// deviationDigits certifies the covariance of the general engine. An exact fit has no deviation to certify, only one that
// must be small.
func (s linearSet) deviationDigits(t *testing.T, sumOfSquares float64) float64 {
	p := len(s.columns)
	c, ok := NewSolver(Problem{Blocks: []Block{s.block()}}).Covariance([][]float64{make([]float64, p)}, nil)
	if !ok {
		t.Fatalf("%s: no covariance", s.name)
	}
	residual := math.Sqrt(sumOfSquares / float64(len(s.y)-p))
	digits := 11.0
	for k, want := range s.deviation {
		got := residual * math.Sqrt(c.Local[0][k*p+k])
		if want == 0 {
			if got > 1e-7*math.Abs(s.certified[k]) {
				t.Errorf("%s: deviation of B%d is %v, the fit is exact", s.name, k, got)
			}
			continue
		}
		digits = math.Min(digits, agreement(got, want))
	}
	return digits
}
