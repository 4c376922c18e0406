package statistics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
)

// RobustTrend is the slope and the test that no single point can turn: both know only the order or the pairs of points.
type RobustTrend struct {
	Slope     float64      // median of the slopes of all pairs of points (Theil, 1950; Sen, J. Am. Stat. Assoc. 63 (1968) 1379)
	Interval  fit.Interval // 95 %, by the variance of S; infinite where there are too few points
	Intercept float64      // median of the points less that of the axis times the slope
	S         int          // rising pairs less falling ones (Mann, Econometrica 13 (1945) 245; Kendall)
	Variance  float64      // of S where there is no trend, ties counted
	Z         float64      // S over its standard deviation, nearer to zero by one for continuity
	P         float64      // two-sided, 0 to 1: exact for ten points and fewer without ties, normal otherwise
	Exact     bool
}

// TheilSen takes points whose places do not fall.
func TheilSen(x, y []float64) (r RobustTrend) {
	var slopes []float64
	for i := range x {
		for k := i + 1; k < len(x); k++ {
			r.S += sign(y[k] - y[i])
			if x[k] > x[i] {
				slopes = append(slopes, (y[k]-y[i])/(x[k]-x[i]))
			}
		}
	}
	r.Variance = kendallVariance(y)
	r.Z = float64(r.S-sign(float64(r.S))) / math.Sqrt(r.Variance)
	r.P = 2 * distuv.UnitNormal.CDF(-math.Abs(r.Z))
	if !(r.Variance > 0) {
		r.Z, r.P = 0, 1
	}
	if ties := slices.Compact(slices.Sorted(slices.Values(y))); len(y) <= mostExact && len(ties) == len(y) {
		r.P, r.Exact = min(1, 2*kendallTail(len(y), max(r.S, -r.S))), true
	}
	slices.Sort(slopes)
	r.Slope = Median(slopes)
	r.Intercept = MedianOf(y) - r.Slope*MedianOf(x)
	r.Interval = slopeInterval(slopes, r.Variance)
	return r
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// kendallVariance is that of S without a trend: n(n−1)(2n+5)/18, less the same of each run of ties (Kendall, Rank
// Correlation Methods, 1975).
func kendallVariance(y []float64) float64 {
	of := func(n float64) float64 { return n * (n - 1) * (2*n + 5) / 18 }
	variance := of(float64(len(y)))
	sorted := slices.Sorted(slices.Values(y))
	for i := 0; i < len(sorted); {
		run := i
		for run < len(sorted) && sorted[run] == sorted[i] {
			run++
		}
		variance -= of(float64(run - i))
		i = run
	}
	return variance
}

// mostExact is up to how many points the distribution of S is counted out.
const mostExact = 10

// kendallTail is the probability of S or more of n points in random order: the number of orders with so many inversions,
// by adding one point after the other.
func kendallTail(n, s int) float64 {
	orders := []float64{1} // by inversions
	for m := 2; m <= n; m++ {
		next := make([]float64, len(orders)+m-1)
		for inversions, k := range orders {
			for extra := range m {
				next[inversions+extra] += k / float64(m)
			}
		}
		orders = next
	}
	tail := 0.0
	for inversions, p := range orders {
		if n*(n-1)/2-2*inversions >= s {
			tail += p
		}
	}
	return tail
}

// slopeInterval are the slopes that so many ranks on each side leave, interpolated between ranks (Gilbert, Statistical
// Methods for Environmental Pollution Monitoring, 1987, section 16.5).
func slopeInterval(slopes []float64, variance float64) fit.Interval {
	n := float64(len(slopes))
	reach := distuv.UnitNormal.Quantile(0.975) * math.Sqrt(variance)
	return fit.Interval{Lower: ranked(slopes, (n-reach)/2), Upper: ranked(slopes, (n+reach)/2+1)}
}

// ranked is the value at a rank from 1, between two ranks in proportion; infinite outside.
func ranked(sorted []float64, rank float64) float64 {
	below := int(math.Floor(rank))
	switch {
	case below < 1:
		return math.Inf(-1)
	case rank > float64(len(sorted)):
		return math.Inf(1)
	case below == len(sorted):
		return sorted[below-1]
	}
	return sorted[below-1] + (rank-float64(below))*(sorted[below]-sorted[below-1])
}
