package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// OperatingPoint is a lot's quality with the probability that the plan accepts it, 0 to 1.
type OperatingPoint struct{ PercentNonconforming, Acceptance float64 }

// SamplingLaw names the distribution that an operating characteristic rests on.
type SamplingLaw string

// The laws. A lot that is at least ten times its sample counts as endless (common practice).
const (
	Binomial       SamplingLaw = "binomial"       // of an endless lot
	Poisson        SamplingLaw = "poisson"        // as the curves of MIL-STD-105E are drawn for more than 10 %
	Hypergeometric SamplingLaw = "hypergeometric" // of the lot itself
	NoncentralT    SamplingLaw = "noncentral t"   // of a normal quantity, by mean and standard deviation
)

// characteristic is the probability that a plan accepts a lot with a fraction nonconforming. It falls.
type characteristic func(fraction float64) float64

func binomialCharacteristic(n, accept int) characteristic {
	return func(p float64) float64 {
		if p >= 1 {
			p = 1
		}
		return distuv.Binomial{N: float64(n), P: p}.CDF(float64(accept))
	}
}

func poissonCharacteristic(n, accept int) characteristic {
	return func(p float64) float64 {
		if p <= 0 {
			return 1
		}
		return distuv.Poisson{Lambda: float64(n) * p}.CDF(float64(accept))
	}
}

// hypergeometricCharacteristic takes the fraction as the whole number of nonconforming units that it comes closest to.
func hypergeometricCharacteristic(lot, n, accept int) characteristic {
	return func(p float64) float64 {
		bad := int(math.Round(p * float64(lot)))
		sum := 0.0
		for x := max(0, n-(lot-bad)); x <= min(accept, n, bad); x++ {
			sum += math.Exp(logChoose(bad, x) + logChoose(lot-bad, n-x) - logChoose(lot, n))
		}
		return min(1, sum)
	}
}

func logChoose(n, k int) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}

// variablesCharacteristic is that of acceptance where (limit − mean)/s ≥ k: √n·(limit − mean)/s has the noncentral t distribution
// with δ = √n·z_{1−p} (Lieberman and Resnikoff, J. Am. Stat. Assoc. 50 (1955) 457).
func variablesCharacteristic(n int, k float64) characteristic {
	root := math.Sqrt(float64(n))
	return func(p float64) float64 {
		switch {
		case p <= 0:
			return 1
		case p >= 1:
			return 0
		}
		return 1 - newNoncentralT(float64(n-1), -root*distuv.UnitNormal.Quantile(p)).cdf(k*root)
	}
}

// qualityAt is the fraction nonconforming that a plan accepts with a probability.
func (c characteristic) qualityAt(acceptance float64) float64 {
	f := func(p float64) float64 { return acceptance - c(p) }
	return zeroWithin(f, 0, 1, f(0), f(1))
}

// tabulated are the probabilities for which MIL-STD-105E, Table X, tabulates qualities.
var tabulated = []float64{0.99, 0.95, 0.90, 0.75, 0.50, 0.25, 0.10, 0.05, 0.01}

// table gives the quality at each tabulated probability.
func (c characteristic) table() (points []OperatingPoint) {
	for _, pa := range tabulated {
		points = append(points, OperatingPoint{100 * c.qualityAt(pa), pa})
	}
	return points
}

// finiteTable is the table of a lot itself, in whole units: the most nonconforming ones with which it is accepted as often.
func finiteTable(c characteristic, lot int) (points []OperatingPoint) {
	for _, pa := range tabulated {
		low, high := 0, lot+1 // c(low) ≥ pa > c(high), as far as that goes
		for high-low > 1 {
			if mid := (low + high) / 2; c(float64(mid)/float64(lot)) >= pa {
				low = mid
			} else {
				high = mid
			}
		}
		points = append(points, OperatingPoint{100 * float64(low) / float64(lot), pa})
	}
	return points
}

// curve draws a characteristic from 0 to a fraction.
func (c characteristic) curve(most float64) (points []OperatingPoint) {
	const steps = 48
	for i := range steps + 1 {
		p := most * float64(i) / steps
		points = append(points, OperatingPoint{100 * p, c(p)})
	}
	return points
}

// upperFraction is the upper limit, with a confidence, of the fraction nonconforming where so many of n units are (Clopper and
// Pearson, Biometrika 26 (1934) 404): of 0 it is 1 − (1 − confidence)^{1/n}.
func upperFraction(nonconforming, n int, confidence float64) float64 {
	if nonconforming >= n {
		return 1
	}
	return binomialCharacteristic(n, nonconforming).qualityAt(1 - confidence)
}
