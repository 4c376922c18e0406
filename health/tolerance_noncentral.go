package health

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// noncentralT is the distribution of (z + δ)/sqrt(χ²_ν/ν). The series of AS 243, which gonum's distribution has, underflows
// beyond δ of about 38 and stands for a normal approximation there; a lot of a few hundred cells gets past that. Here
// the defining integral is taken over s = sqrt(χ²_ν/ν):
//
//	P(T ≤ t) = ∫ Φ(t·s − δ) g(s) ds
//
// whose integrand is positive, so that nothing cancels and nothing underflows.
type noncentralT struct {
	delta  float64
	s      []float64 // nodes
	weight []float64 // of each node, times the density g
}

// Ten standard deviations of s about 1, each some 1/sqrt(2ν), leave out less than 1e-20 on either side.
const (
	noncentralPanels = 24
	noncentralNodes  = 12
	noncentralReach  = 12
)

// newNoncentralT panics where there is no degree of freedom.
func newNoncentralT(freedom, delta float64) noncentralT {
	if !(freedom >= 1) {
		panic("health: a noncentral t distribution needs a degree of freedom")
	}
	reach := noncentralReach / math.Sqrt(2*freedom)
	low, high := max(0, 1-reach), 1+reach
	lead, _ := math.Lgamma(freedom / 2)
	lead = math.Ln2 + freedom/2*math.Log(freedom/2) - lead
	d := noncentralT{delta: delta}
	width := (high - low) / noncentralPanels
	x, w := make([]float64, noncentralNodes), make([]float64, noncentralNodes)
	for p := range noncentralPanels {
		quad.Legendre{}.FixedLocations(x, w, low+float64(p)*width, low+float64(p+1)*width)
		for i, s := range x {
			d.s = append(d.s, s)
			d.weight = append(d.weight, w[i]*math.Exp(lead+(freedom-1)*math.Log(s)-freedom*s*s/2))
		}
	}
	return d
}

// cdf is P(T ≤ t).
func (d noncentralT) cdf(t float64) (p float64) {
	for i, s := range d.s {
		p += d.weight[i] * distuv.UnitNormal.CDF(t*s-d.delta)
	}
	return p
}

// quantile is where the distribution reaches p.
func (d noncentralT) quantile(p float64) float64 {
	step := max(1, math.Abs(d.delta)/4)
	return zero(func(t float64) float64 { return d.cdf(t) - p }, d.delta-step, d.delta+step)
}

// zero finds where a rising function is zero: the bracket is widened until it holds one, then halved or cut by the secant
// (regula falsi with Illinois steps; Dowell and Jarratt, BIT 11 (1971) 168).
func zero(f func(float64) float64, low, high float64) float64 {
	below, above := f(low), f(high)
	for step := high - low; below > 0; step *= 2 {
		high, above = low, below
		low -= step
		below = f(low)
	}
	for step := high - low; above < 0; step *= 2 {
		low, below = high, above
		high += step
		above = f(high)
	}
	return zeroWithin(f, low, high, below, above)
}

func zeroWithin(f func(float64) float64, low, high, below, above float64) float64 {
	for range 200 {
		x := low - below*(high-low)/(above-below)
		if !(x > low && x < high) {
			x = low + (high-low)/2
		}
		y := f(x)
		switch {
		case y == 0 || high-low <= 1e-13*(math.Abs(low)+math.Abs(high)):
			return x
		case y < 0:
			low, below, above = x, y, halved(above, below, y)
		default:
			high, above, below = x, y, halved(below, above, y)
		}
	}
	return low + (high-low)/2
}

// halved is the Illinois step: the function's value at the end that stays is halved where the other end moved little.
func halved(stays, was, is float64) float64 {
	if math.Abs(is) > math.Abs(was)/2 {
		return stays / 2
	}
	return stays
}
