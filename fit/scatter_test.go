package fit

import (
	"math"
	"testing"
)

// The third divided difference vanishes on a parabola, however irregular the days, and has the variance of one value
// on values that scatter.
func TestNeighbourScatter(t *testing.T) {
	days := []float64{0, 1, 7, 30, 31, 90, 365, 400, 730, 731, 1000}
	parabola := make([]observed, len(days))
	for i, x := range days {
		parabola[i] = observed{log: 0.3 + 1e-3*x - 4e-7*x*x, day: x}
	}
	if s, runs := neighbourScatter(parabola); s > 1e-12 || runs != len(days)-3 {
		t.Errorf("a parabola scatters by %g over %d runs", s, runs)
	}
	rng := seeded(77)
	for _, size := range []float64{0.01, 0.6} {
		noisy := make([]observed, 4000)
		for i := range noisy {
			noisy[i] = observed{log: size * rng.NormFloat64(), day: float64(i / 3)} // days that do not rise are places
		}
		if s, _ := neighbourScatter(noisy); math.Abs(s/size-1) > 0.05 {
			t.Errorf("values with a standard deviation of %g scatter by %g", size, s)
		}
	}
	warm := []observed{{0, 0, 25.3}, {0.1, 1, 25}, {0, 2, 25}, {0.1, 3, 25}, {0, 4, 25}, {0.1, 5, 25}, {0, 6, 25}}
	if s, runs := neighbourScatter(warm); s < 0.05 || runs != 3 {
		t.Errorf("after a first measurement at another temperature: %g of %d runs", s, runs)
	}
}

// Weights of a divided difference over even abscissae are binomial (Abramowitz & Stegun, 25.1.11 and 25.1.1), here over the span's cube.
func TestDividedDifference(t *testing.T) {
	w := dividedDifference([]float64{2, 3, 4, 5})
	for i, binomial := range []float64{-1, 3, -3, 1} {
		if want := binomial * 27 / 6; math.Abs(w[i]-want) > 1e-12 {
			t.Errorf("weight %d is %g, want %g", i, w[i], want)
		}
	}
}

// Arcs that scatter by more than their residuals know widen; a step, a new seat or growth do not.
func TestScatterWidens(t *testing.T) {
	const life = 12
	history := func(disturb func(i int) float64) *History {
		rng := seeded(4711)
		var m []Measured
		for i := range life {
			p := aged(singleArcVector(), float64(i)/life)
			p.ChargeTransfer *= math.Exp(disturb(i))
			m = append(m, sweep{1e4, 0.01, 45, 0.002}.measured(p, rng))
			m[i].Day = float64(30 * i)
		}
		return Cell(m)
	}
	rng := seeded(12)
	if got := history(func(int) float64 { return 0.05 * rng.NormFloat64() }).Results[3]; got.LogScatter[ChargeTransfer] < 0.02 || got.ChargeTransfer.Relative() < got.LogScatter[ChargeTransfer] {
		t.Errorf("scatter of 5 %%: %g of u = %g", got.LogScatter[ChargeTransfer], got.ChargeTransfer.Relative())
	}
	for name, disturb := range map[string]func(int) float64{
		"growth": func(int) float64 { return 0 },
		"a step": func(i int) float64 { return 0.3 * float64(i/8) },
	} {
		if got := history(disturb).Results[3].LogScatter[ChargeTransfer]; got != 0 {
			t.Errorf("%s is taken for scatter of %g", name, got)
		}
	}
}
