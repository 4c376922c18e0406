package statistics

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// NoncentralT is the distribution of (z + δ)/sqrt(χ²_ν/ν). The series of AS 243, which gonum's distribution has, underflows
// beyond δ of about 38 and stands for a normal approximation there; a lot of a few hundred cells gets past that. Here
// the defining integral is taken over s = sqrt(χ²_ν/ν):
//
//	P(T ≤ t) = ∫ Φ(t·s − δ) g(s) ds
//
// whose integrand is positive, so that nothing cancels and nothing underflows.
type NoncentralT struct {
	Delta  float64
	s      []float64 // nodes
	weight []float64 // of each node, times the density g
}

// Ten standard deviations of s about 1, each some 1/sqrt(2ν), leave out less than 1e-20 on either side.
const (
	noncentralPanels = 24
	noncentralNodes  = 12
	noncentralReach  = 12
)

// NewNoncentralT panics where there is no degree of freedom.
func NewNoncentralT(freedom, delta float64) NoncentralT {
	if !(freedom >= 1) {
		panic("health: a noncentral t distribution needs a degree of freedom")
	}
	reach := noncentralReach / math.Sqrt(2*freedom)
	low, high := max(0, 1-reach), 1+reach
	lead, _ := math.Lgamma(freedom / 2)
	lead = math.Ln2 + freedom/2*math.Log(freedom/2) - lead
	d := NoncentralT{Delta: delta}
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

// CDF is P(T ≤ t).
func (d NoncentralT) CDF(t float64) (p float64) {
	for i, s := range d.s {
		p += d.weight[i] * distuv.UnitNormal.CDF(t*s-d.Delta)
	}
	return p
}

// quantile is where the distribution reaches p.
func (d NoncentralT) quantile(p float64) float64 {
	step := max(1, math.Abs(d.Delta)/4)
	return Zero(func(t float64) float64 { return d.CDF(t) - p }, d.Delta-step, d.Delta+step)
}
