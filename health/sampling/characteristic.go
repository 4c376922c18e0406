package sampling

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/statistics"
)

// OperatingPoint is a lot's quality with the probability that the plan accepts it, 0 to 1.
type OperatingPoint struct{ PercentNonconforming, Acceptance float64 }

// Law names the distribution that an operating characteristic rests on.
type Law string

// The laws. A lot that is at least ten times its sample counts as endless (common practice).
const (
	Binomial       Law = "binomial"       // of an endless lot
	Hypergeometric Law = "hypergeometric" // of the lot itself
	NoncentralT    Law = "noncentral t"   // of a normal quantity, by mean and standard deviation
)

// Characteristic is the probability that a plan accepts a lot with a fraction nonconforming. It falls.
type Characteristic func(fraction float64) float64

// BinomialCharacteristic is that of a sample of n from an endless lot, accepted with so many nonconforming units.
func BinomialCharacteristic(n, accept int) Characteristic {
	return func(p float64) float64 {
		if p >= 1 {
			p = 1
		}
		return distuv.Binomial{N: float64(n), P: p}.CDF(float64(accept))
	}
}

// HypergeometricCharacteristic takes the fraction as the whole number of nonconforming units that it comes closest to.
func HypergeometricCharacteristic(lot, n, accept int) Characteristic {
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

// VariablesCharacteristic is that of acceptance where (limit − mean)/s ≥ k: √n·(limit − mean)/s has the noncentral t distribution
// with δ = √n·z_{1−p} (Lieberman and Resnikoff, J. Am. Stat. Assoc. 50 (1955) 457).
func VariablesCharacteristic(n int, k float64) Characteristic {
	root := math.Sqrt(float64(n))
	return func(p float64) float64 {
		switch {
		case p <= 0:
			return 1
		case p >= 1:
			return 0
		}
		return 1 - statistics.NewNoncentralT(float64(n-1), -root*distuv.UnitNormal.Quantile(p)).CDF(k*root)
	}
}

// QualityAt is the fraction nonconforming that a plan accepts with a probability.
func (c Characteristic) QualityAt(acceptance float64) float64 {
	f := func(p float64) float64 { return acceptance - c(p) }
	return statistics.ZeroWithin(f, 0, 1, f(0), f(1))
}

// tabulated are the probabilities for which MIL-STD-105E, Table X, tabulates qualities.
var tabulated = []float64{0.99, 0.95, 0.90, 0.75, 0.50, 0.25, 0.10, 0.05, 0.01}

// Table gives the quality at each tabulated probability.
func (c Characteristic) Table() (points []OperatingPoint) {
	for _, pa := range tabulated {
		points = append(points, OperatingPoint{100 * c.QualityAt(pa), pa})
	}
	return points
}

// LimitingQuality is the row of such a table with a consumer's risk of 10 %: a percentage.
func LimitingQuality(table []OperatingPoint) float64 {
	return table[slices.Index(tabulated, 0.10)].PercentNonconforming
}

// FiniteTable is the table of a lot itself, in whole units: the most nonconforming ones with which it is accepted as often.
func FiniteTable(c Characteristic, lot int) (points []OperatingPoint) {
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

// Curve draws a characteristic from 0 to a fraction.
func (c Characteristic) Curve(most float64) (points []OperatingPoint) {
	const steps = 48
	for i := range steps + 1 {
		p := most * float64(i) / steps
		points = append(points, OperatingPoint{100 * p, c(p)})
	}
	return points
}

// UpperFraction is the upper limit, with a confidence, of the fraction nonconforming where so many of n units are (Clopper and
// Pearson, Biometrika 26 (1934) 404): of 0 it is 1 − (1 − confidence)^{1/n}.
func UpperFraction(nonconforming, n int, confidence float64) float64 {
	if nonconforming >= n {
		return 1
	}
	return BinomialCharacteristic(n, nonconforming).QualityAt(1 - confidence)
}

// FractionBeyond estimates the fraction of a normal population beyond a limit that is q sample standard deviations from
// the sample's mean: the incomplete beta ratio I_x(n/2 − 1, n/2 − 1) at x = ½ − q·√n/(2(n−1)) (MIL-STD-414, appendix;
// law from memory).
func FractionBeyond(q float64, n int) float64 {
	m := float64(n)
	x := 0.5 - q*math.Sqrt(m)/(2*(m-1))
	switch {
	case n < 3 || math.IsNaN(x):
		return math.NaN()
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	}
	return mathext.RegIncBeta(m/2-1, m/2-1, x)
}
