package statistics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Deviate is one step of the generalised extreme studentised deviate test: the value farthest from the mean of those that
// remain, its distance in their standard deviations, and the distance that chance would seldom exceed.
type Deviate struct {
	Index         int // into the values
	Ratio, Lambda float64
}

// ExtremeDeviates takes the farthest value away up to most times (Rosner, Technometrics 25 (1983) 165; NIST/SEMATECH e-Handbook
// 1.3.5.17.3). With most = 1 it is Grubbs' two-sided test. It ends early where nothing varies any more.
func ExtremeDeviates(values []float64, most int, alpha float64) (steps []Deviate) {
	left, remaining := make([]int, len(values)), slices.Clone(values)
	for i := range left {
		left[i] = i
	}
	for len(steps) < most && len(left) >= 3 {
		mean, sd := stat.MeanStdDev(remaining, nil)
		if !(sd > 0) {
			break
		}
		far := 0
		for k, x := range remaining {
			if math.Abs(x-mean) > math.Abs(remaining[far]-mean) {
				far = k
			}
		}
		steps = append(steps, Deviate{left[far], math.Abs(remaining[far]-mean) / sd, grubbsLimit(len(left), alpha/2)})
		left, remaining = slices.Delete(left, far, far+1), slices.Delete(remaining, far, far+1)
	}
	return steps
}

// grubbsLimit is the critical value of the largest deviation of n values, in their standard deviations, that is exceeded on one
// side with the probability alpha at most: (n−1)/√n · sqrt(t²/(n−2+t²)), t = t_{α/n}(n−2) (Grubbs, Technometrics 11 (1969) 1).
func grubbsLimit(n int, alpha float64) float64 {
	m := float64(n)
	t := -distuv.StudentsT{Mu: 0, Sigma: 1, Nu: m - 2}.Quantile(alpha / m)
	return (m - 1) / math.Sqrt(m) * math.Sqrt(t*t/(m-2+t*t))
}

// Rejected is how many of the steps' values are outliers: as many as the last step that exceeds its limit has taken. Steps before
// it need not: two outliers may hide each other.
func Rejected(steps []Deviate) int {
	for k := len(steps); k > 0; k-- {
		if steps[k-1].Ratio > steps[k-1].Lambda {
			return k
		}
	}
	return 0
}

// ModifiedZ are the distances from the median in robust standard deviations: 0.6745·(x − median)/MAD (Iglewicz and Hoaglin, How to
// Detect and Handle Outliers, 1993; NIST/SEMATECH e-Handbook 1.3.5.17). Nil where more than half of the values are the same.
func ModifiedZ(values []float64) []float64 {
	sorted := slices.Sorted(slices.Values(values))
	middle, mad := Median(sorted), MedianDeviation(sorted)
	if !(mad > 0) {
		return nil
	}
	z := make([]float64, len(values))
	for i, v := range values {
		z[i] = 0.6745 * (v - middle) / mad
	}
	return z
}

// ModifiedZLimit is beyond what a modified z marks an outlier (Iglewicz and Hoaglin, 1993).
const ModifiedZLimit = 3.5
