package statistics

import (
	"testing"

	"ohmledger/health/internal/published"
)

// EPA 530/R-09-007 (2009), Example 17-6: sulfate, 23 samples with ties.
func TestRobustTrendEPA176(t *testing.T) {
	x, y := published.Column(t, "published", "epa.csv", "ex17-6", "x"), published.Column(t, "published", "epa.csv", "ex17-6", "y")
	r := TheilSen(x, y)
	if r.S != 194 || r.Variance != 1428 || r.Exact {
		t.Errorf("S %d, variance %v", r.S, r.Variance)
	}
	published.Agrees(t, "z", r.Z, 5.107322, 1e-6)
	agreesRelatively(t, "p", r.P, 3.2676e-7, 1e-4)
	published.Agrees(t, "slope", r.Slope, 26.66667, 5e-6)
	published.Agrees(t, "intercept", r.Intercept, -1909.3333, 5e-5)
	published.Agrees(t, "lower", r.Interval.Lower, 20, 5e-6)
	published.Agrees(t, "upper", r.Interval.Upper, 35.71182, 5e-6)
}

// EPA QA/G-9S, Mann–Kendall of five values: S 6, exact one-sided probability 0.117 (table for n 5).
func TestRobustTrendOfFew(t *testing.T) {
	r := TheilSen([]float64{1, 2, 3, 4, 5}, []float64{5, 6, 11, 8, 10})
	if r.S != 6 || !r.Exact {
		t.Errorf("%+v", r)
	}
	published.Agrees(t, "p", r.P/2, 0.117, 5e-4)
	published.Agrees(t, "all orders", kendallTail(6, -15), 1, 1e-12)
	if flat := TheilSen([]float64{1, 2, 3}, []float64{4, 4, 4}); flat.S != 0 || flat.P != 1 || flat.Slope != 0 {
		t.Errorf("flat: %+v", flat)
	}
}

// One wild point turns a line by least squares, and this slope hardly.
func TestRobustTrendIsRobust(t *testing.T) {
	var x, y []float64
	for i := range 21 {
		x, y = append(x, float64(i)), append(y, 1+0.1*float64(i))
	}
	y[18] = 40
	published.Agrees(t, "slope", TheilSen(x, y).Slope, 0.1, 0.01)
	if r := ordinary(x, y, constant, identity); r.Coefficients[1] < 0.3 {
		t.Errorf("least squares: %v", r.Coefficients[1])
	}
}
