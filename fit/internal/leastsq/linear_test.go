package leastsq

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
)

// columnsAndTarget are random columns and a right-hand side that they do not explain.
func columnsAndTarget(seed uint64, rows, columns int) (list [][]float64, target []float64) {
	random := rand.New(rand.NewPCG(seed, 1))
	draw := func() []float64 {
		v := make([]float64, rows)
		for i := range v {
			v[i] = random.NormFloat64()
		}
		return v
	}
	for range columns {
		list = append(list, draw())
	}
	return list, draw()
}

func fitted(rows int, list [][]float64, target []float64) *Linear {
	l := NewLinear(rows, len(list)+3)
	l.Start(target)
	for _, c := range list {
		l.Append(c)
	}
	return l
}

// The residuals are what the factors leave, stand at right angles to every column, and have the sum of squares stated.
func TestLinearResiduals(t *testing.T) {
	list, target := columnsAndTarget(1, 30, 7)
	l := fitted(30, list, target)
	residual, factors := make([]float64, 30), make([]float64, 7)
	l.Residuals(residual)
	l.Coefficients(factors)
	for k, c := range list {
		if dot := floats.Dot(c, residual); math.Abs(dot) > 1e-12 {
			t.Errorf("column %d is not at right angles: %v", k, dot)
		}
	}
	for i := range residual {
		left := target[i]
		for k, c := range list {
			left -= factors[k] * c[i]
		}
		if math.Abs(left-residual[i]) > 1e-12 {
			t.Errorf("row %d: residual %v, the factors leave %v", i, residual[i], left)
		}
	}
	if sum := floats.Dot(residual, residual); math.Abs(sum-l.SumOfSquares()) > 1e-12 {
		t.Errorf("sum of squares %v, of the residuals %v", l.SumOfSquares(), sum)
	}
}

// Taking columns off and putting others on is the same as beginning anew.
func TestLinearKeep(t *testing.T) {
	list, target := columnsAndTarget(2, 25, 8)
	l := fitted(25, list, target)
	l.Keep(3)
	l.Append(list[7])
	anew := fitted(25, [][]float64{list[0], list[1], list[2], list[7]}, target)
	a, b := make([]float64, 4), make([]float64, 4)
	l.Coefficients(a)
	anew.Coefficients(b)
	if !floats.Equal(a, b) || l.SumOfSquares() != anew.SumOfSquares() {
		t.Errorf("factors %v, anew %v", a, b)
	}
}

// The order of columns and the unit of each change no residual.
func TestLinearScalingAndOrder(t *testing.T) {
	list, target := columnsAndTarget(3, 25, 5)
	want, got := make([]float64, 25), make([]float64, 25)
	fitted(25, list, target).Residuals(want)
	var other [][]float64
	for k := len(list) - 1; k >= 0; k-- {
		c := append([]float64(nil), list[k]...)
		floats.Scale(math.Pow(10, float64(40*k-80)), c)
		other = append(other, c)
	}
	fitted(25, other, target).Residuals(got)
	if !floats.EqualApprox(got, want, 1e-12) {
		t.Errorf("residuals %v, were %v", got, want)
	}
}

func TestLinearSpan(t *testing.T) {
	list, target := columnsAndTarget(4, 20, 6)
	l := fitted(20, list, target)
	span := l.Span()
	for a := range 6 {
		for b := range 6 {
			want := 0.0
			if a == b {
				want = 1
			}
			if dot := floats.Dot(span[a*20:(a+1)*20], span[b*20:(b+1)*20]); math.Abs(dot-want) > 1e-13 {
				t.Errorf("columns %d and %d have the product %v", a, b, dot)
			}
		}
	}
	other := append([]float64(nil), target...)
	if left := l.Unexplained(other); math.Abs(left-l.SumOfSquares()) > 1e-12 {
		t.Errorf("the same right-hand side leaves %v, then %v", l.SumOfSquares(), left)
	}
}

// A column of nothing, and one that others span, take no part and spoil nothing.
func TestLinearColumnsWithoutEffect(t *testing.T) {
	list, target := columnsAndTarget(5, 20, 2)
	want, got := make([]float64, 20), make([]float64, 20)
	fitted(20, list, target).Residuals(want)
	l := fitted(20, [][]float64{list[0], make([]float64, 20), list[1]}, target)
	l.Residuals(got)
	factors := make([]float64, 3)
	l.Coefficients(factors)
	if !floats.EqualApprox(got, want, 1e-13) || factors[1] != 0 {
		t.Errorf("residuals %v, were %v; factors %v", got, want, factors)
	}
}

func TestLinearRefusesMoreColumnsThanRows(t *testing.T) {
	list, target := columnsAndTarget(6, 3, 3)
	l := fitted(3, list, target)
	defer func() {
		if recover() == nil {
			t.Error("a fourth column to three rows was taken")
		}
	}()
	l.Append(list[0])
}

func TestLinearAllocatesNothing(t *testing.T) {
	list, target := columnsAndTarget(7, 60, 10)
	l := NewLinear(60, 10)
	factors, residual := make([]float64, 10), make([]float64, 60)
	if n := testing.AllocsPerRun(20, func() {
		l.Start(target)
		for _, c := range list {
			l.Append(c)
		}
		l.Coefficients(factors)
		l.Residuals(residual)
	}); n != 0 {
		t.Errorf("%v allocations a fit", n)
	}
}
