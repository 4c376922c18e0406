package health

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"ohmledger/fit"
	"ohmledger/health/statistics"
)

// Quantile is the value below which a fraction P of a lot lies.
type Quantile struct{ P, Value float64 }

// quantileAt interpolates between order statistics at P·(n+1), as NIST/SEMATECH e-Handbook 7.2.6.2 does (definition 6 of
// Hyndman and Fan, Am. Stat. 50 (1996) 361). Beyond the outermost values it stays at them.
func quantileAt(sorted []float64, p float64) float64 {
	n := len(sorted)
	if n == 0 {
		return math.NaN()
	}
	place := p*float64(n+1) - 1
	below := int(math.Floor(place))
	switch {
	case below < 0:
		return sorted[0]
	case below >= n-1:
		return sorted[n-1]
	}
	return sorted[below] + (place-float64(below))*(sorted[below+1]-sorted[below])
}

// lotQuantiles are those that a lot is described by.
var lotQuantiles = []float64{0.01, 0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95, 0.99}

// LotSummary describes values without supposing a distribution. Unit of the values, unless a field says otherwise.
type LotSummary struct {
	Count                                   int // of values
	Mean, Median                            float64
	StandardDeviation                       float64 // of the cells, n − 1; NaN of a single value
	RobustSpread                            float64 // 1.4826 times the median distance from the median: the standard deviation of a normal lot
	Least, Most                             float64
	Quantiles                               []Quantile   // by the definition of NIST/SEMATECH e-Handbook 7.2.6.2
	MeanInterval, StandardDeviationInterval fit.Interval // 95 %, of a normal lot
	MeanBounds                              fit.Interval // each end by itself is a one-sided 95 % limit of the mean, of a normal lot
	MedianInterval                          fit.Interval // 95 %, of any lot; infinite where there are fewer than six values
	RangeConfidence                         float64      // that least and most enclose 95 % of the population, whatever its distribution; 0 to 1
}

// mad2sd turns a median deviation into the standard deviation of a normal population: 1/Φ⁻¹(¾).
const mad2sd = 1.4826022185056018

// summarise describes sorted values, of which there is at least one.
func summarise(sorted []float64) LotSummary {
	n := len(sorted)
	s := LotSummary{Count: n, Median: statistics.Median(sorted), Least: sorted[0], Most: sorted[n-1], RobustSpread: mad2sd * statistics.MedianDeviation(sorted),
		MedianInterval: statistics.MedianInterval(sorted), RangeConfidence: statistics.RangeConfidence(n, toleranceContent)}
	for _, p := range lotQuantiles {
		s.Quantiles = append(s.Quantiles, Quantile{p, quantileAt(sorted, p)})
	}
	if s.Mean, s.StandardDeviation = stat.MeanStdDev(sorted, nil); n < 2 {
		nan := fit.Interval{Lower: math.NaN(), Upper: math.NaN()}
		s.StandardDeviation, s.MeanInterval, s.StandardDeviationInterval, s.MeanBounds = math.NaN(), nan, nan, nan
		return s
	}
	s.MeanInterval = statistics.MeanInterval(s.Mean, s.StandardDeviation, n, 0.975)
	s.MeanBounds = statistics.MeanInterval(s.Mean, s.StandardDeviation, n, 0.95)
	s.StandardDeviationInterval = statistics.DeviationInterval(s.StandardDeviation, n)
	return s
}

// Histogram counts values between edges, of which there is one more than counts. A value on an edge counts above it, but
// for the last.
type Histogram struct {
	Edges  []float64 // rising, in equal steps of 1, 2 or 5 times a power of ten
	Counts []int
}

// Limits of what a histogram shows.
const (
	fewestBins = 5
	mostBins   = 60
)

// histogram has bins about as wide as Freedman and Diaconis (Z. Wahrscheinlichkeitstheorie 57 (1981) 453) advise: 2·IQR·n^{−1/3}.
func histogram(sorted []float64) (h Histogram) {
	n := len(sorted)
	span := sorted[n-1] - sorted[0]
	if !(span > 0) {
		return Histogram{Edges: []float64{sorted[0], sorted[0]}, Counts: []int{n}}
	}
	width := 2 * (quantileAt(sorted, 0.75) - quantileAt(sorted, 0.25)) / math.Cbrt(float64(n))
	width = min(max(width, span/mostBins), span/fewestBins)
	step := roundStep(width)
	first := math.Floor(sorted[0] / step)
	last := math.Floor(sorted[n-1]/step) + 1
	for k := first; k <= last; k++ {
		h.Edges = append(h.Edges, k*step)
	}
	h.Counts = make([]int, len(h.Edges)-1)
	for _, v := range sorted {
		above, found := slices.BinarySearch(h.Edges, v)
		if found {
			above++
		}
		h.Counts[min(max(above-1, 0), len(h.Counts)-1)]++
	}
	return h
}

// roundStep is the 1, 2 or 5 times a power of ten that is nearest to a width in ratio.
func roundStep(width float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(width)))
	best := power
	for _, m := range []float64{2, 5, 10} {
		if math.Abs(math.Log(m*power/width)) < math.Abs(math.Log(best/width)) {
			best = m * power
		}
	}
	return best
}
