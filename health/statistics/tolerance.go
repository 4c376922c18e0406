package statistics

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
)

// ToleranceInterval holds at least Content of a population with the confidence Confidence, both 0 to 1. A side that is not
// bounded is infinite.
type ToleranceInterval struct {
	fit.Interval        // in the unit of the quantity
	Content, Confidence float64
	Factor              float64 // by which the standard deviation was multiplied
}

// oneSidedFactor is the exact factor k of a one-sided normal tolerance limit mean ± k·s: t_{γ}(n−1, δ)/√n with the
// noncentrality δ = z_p·√n (NIST/SEMATECH e-Handbook 7.2.6.3; NBS Handbook 91, Table A-7).
func oneSidedFactor(n int, content, confidence float64) float64 {
	root := math.Sqrt(float64(n))
	z := distuv.UnitNormal.Quantile(content)
	return NewNoncentralT(float64(n-1), z*root).quantile(confidence) / root
}

// twoSidedFactor is the exact factor k of a two-sided normal tolerance interval mean ± k·s, from
//
//	γ = 2·√n ∫₀^∞ P(χ²_{n−1} > (n−1)·r²(d)/k²) φ(√n·d) dd,  Φ(d+r) − Φ(d−r) = p
//
// (Odeh and Owen, Tables for Normal Tolerance Limits, 1980; Krishnamoorthy and Mathew, Statistical Tolerance Regions, 2009,
// section 2.3.1; both from memory).
func twoSidedFactor(n int, content, confidence float64) float64 {
	freedom, root := float64(n-1), math.Sqrt(float64(n))
	const nodes, reach = 48, 9.0
	u, w := make([]float64, nodes), make([]float64, nodes)
	quad.Legendre{}.FixedLocations(u, w, 0, reach)
	for i := range u {
		w[i] *= 2 * distuv.UnitNormal.Prob(u[i])
		u[i] = freedom * squared(halfWidth(u[i]/root, content))
	}
	return Zero(func(k float64) float64 {
		held := 0.0
		for i := range u {
			held += w[i] * mathext.GammaIncRegComp(freedom/2, u[i]/(2*k*k))
		}
		return held - confidence
	}, 0.5, 4)
}

// halfWidth is the r with Φ(d+r) − Φ(d−r) = p.
func halfWidth(d, content float64) float64 {
	normal := distuv.UnitNormal
	z := normal.Quantile((1 + content) / 2)
	return Zero(func(r float64) float64 { return normal.CDF(d+r) - normal.CDF(d-r) - content }, z, z+d)
}

// Tolerance gives the three intervals of a normal population: two-sided, lower limit alone, upper limit alone.
func (k ToleranceFactors) Tolerance(mean, sd float64) (both, lower, upper ToleranceInterval) {
	at := func(low, high, factor float64) ToleranceInterval {
		return ToleranceInterval{fit.Interval{Lower: low, Upper: high}, k.content, k.confidence, factor}
	}
	both = at(mean-k.two*sd, mean+k.two*sd, k.two)
	lower = at(mean-k.one*sd, math.Inf(1), k.one)
	upper = at(math.Inf(-1), mean+k.one*sd, k.one)
	return both, lower, upper
}

// ToleranceFactors of one sample size.
type ToleranceFactors struct{ content, confidence, one, two float64 }

// NewToleranceFactors are the exact ones of n values.
func NewToleranceFactors(n int, content, confidence float64) ToleranceFactors {
	return ToleranceFactors{content, confidence, oneSidedFactor(n, content, confidence), twoSidedFactor(n, content, confidence)}
}

// RangeConfidence is how sure it is that the smallest and the largest of n values enclose the content of their population,
// whatever its distribution: 1 − n·p^{n−1} + (n−1)·p^n (Wilks, Ann. Math. Stat. 12 (1941) 91).
func RangeConfidence(n int, content float64) float64 {
	m := float64(n)
	return 1 - m*math.Pow(content, m-1) + (m-1)*math.Pow(content, m)
}

// MeanInterval is that of the mean of a normal population, each end of which holds with the probability each (NIST/SEMATECH
// e-Handbook 7.2.2.1).
func MeanInterval(mean, sd float64, n int, each float64) fit.Interval {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile(each)
	half := t * sd / math.Sqrt(float64(n))
	return fit.Interval{Lower: mean - half, Upper: mean + half}
}

// DeviationInterval is the 95 % confidence interval of the standard deviation of a normal population (NIST/SEMATECH e-Handbook
// 7.2.3.1).
func DeviationInterval(sd float64, n int) fit.Interval {
	freedom := float64(n - 1)
	chi := distuv.ChiSquared{K: freedom}
	return fit.Interval{Lower: sd * math.Sqrt(freedom/chi.Quantile(0.975)), Upper: sd * math.Sqrt(freedom/chi.Quantile(0.025))}
}

// MedianInterval is the narrowest pair of order statistics, symmetric in rank, that encloses the median with 95 % at least,
// whatever the distribution (David and Nagaraja, Order Statistics, 2003, section 7.1; from memory). Fewer than six
// values enclose it less surely; then both ends are open.
func MedianInterval(sorted []float64) fit.Interval {
	n := len(sorted)
	binomial := distuv.Binomial{N: float64(n), P: 0.5}
	rank := 0 // how many values are left out on each side
	for rank < n/2 && binomial.CDF(float64(rank)) <= 0.025 {
		rank++
	}
	if rank == 0 {
		return fit.Interval{Lower: math.Inf(-1), Upper: math.Inf(1)}
	}
	return fit.Interval{Lower: sorted[rank-1], Upper: sorted[n-rank]}
}
