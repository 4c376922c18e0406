package statistics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// NormalityTest is the test of Anderson and Darling with mean and standard deviation from the values themselves: A² times
// 1 + 0.75/n + 2.25/n², with the probabilities of D'Agostino and Stephens, Goodness-of-Fit Techniques, 1986, Tables 4.7 and 4.9.
type NormalityTest struct {
	Statistic float64 // adjusted; NaN where there are fewer than eight values or nothing varies
	Critical  float64 // at 5 %
	P         float64 // probability of a statistic as large, 0 to 1; NaN likewise
}

// NormalityCritical is the adjusted statistic at 5 % (D'Agostino and Stephens, Table 4.7).
const NormalityCritical = 0.752

// fewestForNormality: the adjustment holds for eight values and more.
const fewestForNormality = 8

// AndersonDarling tests values in any order; its numbers are not had of fewer than fewestForNormality, or where nothing varies.
func AndersonDarling(values []float64) NormalityTest {
	test := NormalityTest{math.NaN(), NormalityCritical, math.NaN()}
	mean, sd := stat.MeanStdDev(values, nil)
	n := len(values)
	if n < fewestForNormality || !(sd > 0) {
		return test
	}
	sorted := slices.Sorted(slices.Values(values))
	sum := 0.0
	for i := range sorted {
		low, high := (sorted[i]-mean)/sd, (sorted[n-1-i]-mean)/sd
		sum += float64(2*i+1) * (logNormalCDF(low) + logNormalCDF(-high))
	}
	m := float64(n)
	test.Statistic = (-m - sum/m) * (1 + 0.75/m + 2.25/(m*m))
	test.P = andersonDarlingP(test.Statistic)
	return test
}

// andersonDarlingP are the four pieces of Table 4.9 of D'Agostino and Stephens.
func andersonDarlingP(a float64) float64 {
	switch {
	case a >= 13: // the first piece turns upwards far out
		return 0
	case a >= 0.6:
		return math.Exp(1.2937 - 5.709*a + 0.0186*a*a)
	case a >= 0.34:
		return math.Exp(0.9177 - 4.279*a - 1.38*a*a)
	case a >= 0.2:
		return 1 - math.Exp(-8.318+42.796*a-59.938*a*a)
	}
	return 1 - math.Exp(-13.436+101.14*a-223.73*a*a)
}

// logNormalCDF is ln Φ(z), for z far below zero by the leading term of Mills' ratio.
func logNormalCDF(z float64) float64 {
	if z < -36 {
		return -z*z/2 - math.Log(-z*math.Sqrt(2*math.Pi))
	}
	return math.Log(distuv.UnitNormal.CDF(z))
}

// ProbabilityPoint is an ordered value with the standard normal quantile that it would have.
type ProbabilityPoint struct{ Normal, Value float64 }

// mostProbabilityPoints keeps plots of large lots drawable: all of the tails, evenly chosen between.
const (
	mostProbabilityPoints = 400
	tailProbabilityPoints = 50
)

// ProbabilityPlot sets the ordered values against the normal quantiles of Filliben's medians (Technometrics 17 (1975) 111;
// NIST/SEMATECH e-Handbook 1.3.3.21).
func ProbabilityPlot(sorted []float64) (points []ProbabilityPoint) {
	n := len(sorted)
	for _, i := range thinned(n) {
		points = append(points, ProbabilityPoint{distuv.UnitNormal.Quantile(Filliben(i, n)), sorted[i]})
	}
	return points
}

// Filliben is his approximation to the median of the i-th of n ordered uniform numbers, i from 0.
func Filliben(i, n int) float64 {
	switch i {
	case n - 1:
		return math.Pow(0.5, 1/float64(n))
	case 0:
		return 1 - math.Pow(0.5, 1/float64(n))
	}
	return (float64(i) + 1 - 0.3175) / (float64(n) + 0.365)
}

// thinned are the ranks that a plot shows.
func thinned(n int) (ranks []int) {
	if n <= mostProbabilityPoints {
		for i := range n {
			ranks = append(ranks, i)
		}
		return ranks
	}
	middle, first, last := mostProbabilityPoints-2*tailProbabilityPoints, tailProbabilityPoints, n-tailProbabilityPoints
	for i := range tailProbabilityPoints {
		ranks = append(ranks, i)
	}
	for k := range middle {
		ranks = append(ranks, first+k*(last-first)/middle)
	}
	for i := last; i < n; i++ {
		ranks = append(ranks, i)
	}
	return ranks
}
