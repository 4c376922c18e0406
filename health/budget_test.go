package health

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"

	"ohmledger/fit"
)

// JCGM 100:2008, annex H.2: resistance and reactance of a coil from simultaneous readings of voltage, current and phase. The
// standard uncertainties of R, X and |Z| with all correlations, and what ignoring them gives (table H.5, from memory).
func TestImpedanceOfTheGuide(t *testing.T) {
	readings := [3][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},                     // V
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}, // A
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},                // rad
	}
	v, i, phase := stat.Mean(readings[0], nil), stat.Mean(readings[1], nil), stat.Mean(readings[2], nil)
	of := func(a, b int, _ fit.Element) float64 { return stat.Covariance(readings[a], readings[b], nil) / 5 }
	alone := func(a, b int, e fit.Element) float64 {
		if a != b {
			return 0
		}
		return of(a, b, e)
	}
	cos, sin, z := math.Cos(phase), math.Sin(phase), v/i
	for _, c := range []struct {
		name                         string
		gradient                     [3]float64
		value, want, u, uncorrelated float64
	}{
		{"R", [3]float64{cos / i, -z * cos / i, -z * sin}, z * cos, 127.732, 0.0710714, 0.195},
		{"X", [3]float64{sin / i, -z * sin / i, z * cos}, z * sin, 219.847, 0.2955817, 0.201},
		{"Z", [3]float64{1 / i, -z / i, 0}, z, 254.260, 0.2363361, 0.204},
	} {
		l := logarithm{}
		for k, weight := range c.gradient {
			l.fits = append(l.fits, fitted{"reading", k, fit.Ohmic, weight})
		}
		near(t, c.name, c.value, c.want, 0.0005)
		u, _ := l.uncertainty(of)
		near(t, "u of "+c.name, u, c.u, 1e-7)
		u, _ = l.uncertainty(alone)
		near(t, "u without correlation of "+c.name, u, c.uncorrelated, 0.0005)
	}
}

// A budget's shares are of the variance: they sum to one, a correlation's may be negative.
func TestBudgetAddsUp(t *testing.T) {
	l := logarithm{effects: []effect{{"a", "1", 0.03, false}, {"b", "2", 0.04, false}, {"a", "3", 0.01, false}},
		fits: []fitted{{"here", 0, fit.Ohmic, 1}, {"there", 1, fit.Ohmic, -1}}}
	cov := func(i, j int, _ fit.Element) float64 {
		if i == j {
			return 4e-4
		}
		return 3e-4
	}
	u, budget := l.uncertainty(cov)
	near(t, "u", u*u, 0.03*0.03+0.04*0.04+0.01*0.01+2*4e-4-2*3e-4, 1e-15)
	sum := 0.0
	for _, c := range budget {
		sum += c.Share
	}
	near(t, "sum of shares", sum, 1, 1e-12)
	if len(budget) != 5 || budget[2].Source != correlated || budget[2].Share >= 0 {
		t.Errorf("budget %+v", budget)
	}
}

// What two readings share cancels as far as they share it.
func TestEqualInputsCancel(t *testing.T) {
	a := logarithm{value: 1, effects: []effect{{"scale", "s", 0.01, true}, {"own", "x", 0.02, false}}}
	b := logarithm{value: 3, effects: []effect{{"scale", "s", 0.01, true}}}
	u, budget := a.plus(-1, b).uncertainty(nil)
	near(t, "u", u, 0.02, 1e-15)
	if len(budget) != 1 || budget[0].Source != "own" {
		t.Errorf("budget %+v", budget)
	}
	if len(a.effects) != 2 || a.effects[0].size != 0.01 {
		t.Error("the sum changed its parts")
	}
}
