package leastsq

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// NIST/SEMATECH e-Handbook 1.3.5.13: 120 runs where 101 are expected, deviation 7.053279, score 2.6938.
func TestRunsScoreOfBeamDeflections(t *testing.T) {
	y := readTable(t, "Lew.csv").column("y")
	if got, want := RunsScoreAboutMedian(y), 2.6938; math.Abs(got-want) > 5e-5 {
		t.Errorf("score about the median %.6f, published %.4f", got, want)
	}
	r := countRuns(y, median(y))
	if r != (runs{above: 100, below: 100, runs: 120}) {
		t.Errorf("counts %+v, published 100 above, 100 below, 120 runs", r)
	}
	if math.Abs(r.expected()-101) > 1e-12 || math.Abs(math.Sqrt(r.variance())-7.053279) > 5e-7 {
		t.Errorf("expected %v, deviation %v; published 101 and 7.053279", r.expected(), math.Sqrt(r.variance()))
	}
}

func TestRunsScoreLaws(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	values := make([]float64, 61)
	for i := range values {
		values[i] = random.NormFloat64()
	}
	want := RunsScore(values)
	reversed, scaled, negated, padded := make([]float64, 61), make([]float64, 61), make([]float64, 61), []float64{0}
	for i, v := range values {
		reversed[60-i], scaled[i], negated[i] = v, 1e-9*v, -v
		padded = append(padded, v, 0)
	}
	for name, other := range map[string][]float64{"reversed": reversed, "scaled": scaled, "negated": negated, "with zeros": padded} {
		if got := RunsScore(other); got != want {
			t.Errorf("%s: score %v, was %v", name, got, want)
		}
	}
	if got := RunsScore(values, values); math.Abs(got-want*math.Sqrt2) > 1e-12 {
		t.Errorf("two equal series score %v, want √2 times %v", got, want)
	}
}

func TestRunsScoreSaysNothing(t *testing.T) {
	for _, values := range [][]float64{nil, {}, {0}, {1}, {1, 2, 3}, {-1, -1, 0}} {
		if got := RunsScore(values); got != 0 {
			t.Errorf("RunsScore(%v) = %v, want 0", values, got)
		}
		if got := RunsScoreAboutMedian(values[:min(1, len(values))]); got != 0 {
			t.Errorf("RunsScoreAboutMedian of at most one value = %v, want 0", got)
		}
	}
	if got := RunsScore(); got != 0 {
		t.Errorf("RunsScore() = %v, want 0", got)
	}
}

// Under random order the score has mean 0 and variance 1, whatever the share of signs.
func TestRunsScoreIsStandard(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	scores := make([]float64, 20000)
	for k := range scores {
		a, b := make([]float64, 40), make([]float64, 40)
		for i := range a {
			a[i], b[i] = random.NormFloat64(), random.NormFloat64()-0.5
		}
		scores[k] = RunsScore(a, b)
	}
	mean, deviation := stat.MeanStdDev(scores, nil)
	if math.Abs(mean) > 0.03 || math.Abs(deviation-1) > 0.03 {
		t.Errorf("mean %.4f, deviation %.4f of %d scores, want 0 and 1", mean, deviation, len(scores))
	}
}
