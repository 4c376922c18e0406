package leastsq

import (
	"math"
	"slices"
)

// RunsScore is the standard score of the runs test (NIST/SEMATECH e-Handbook 1.3.5.13) on the signs of
// values about zero: well below zero where neighbours agree in sign more often than chance would have it,
// well above where they alternate. Each series is read by itself and the counts are pooled, so that the
// end of one beside the start of the next makes no run. Zeros are left out (common practice). The score
// is 0 where the test says nothing: too few values, or all of one sign.
func RunsScore(series ...[]float64) float64 {
	var excess, variance float64
	for _, values := range series {
		r := countRuns(values, 0)
		excess += float64(r.runs) - r.expected()
		variance += r.variance()
	}
	if variance <= 0 {
		return 0
	}
	return excess / math.Sqrt(variance)
}

// RunsScoreAboutMedian is RunsScore of one series about its own median, the form in which the e-Handbook
// shows the test for raw data. It is 0 for an empty series.
func RunsScoreAboutMedian(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	r := countRuns(values, median(values))
	if r.variance() <= 0 {
		return 0
	}
	return (float64(r.runs) - r.expected()) / math.Sqrt(r.variance())
}

// runs counts the values above and below a level, and their unbroken stretches on one side of it.
type runs struct{ above, below, runs int }

func countRuns(values []float64, level float64) runs {
	var r runs
	side := 0
	for _, v := range values {
		now := 0
		switch {
		case v > level:
			now = 1
			r.above++
		case v < level:
			now = -1
			r.below++
		}
		if now != 0 && now != side {
			r.runs++
			side = now
		}
	}
	return r
}

// expected is the mean number of runs of a random order; 0 for no values, so that an empty series adds nothing.
func (r runs) expected() float64 {
	n1, n2 := float64(r.above), float64(r.below)
	if n1+n2 == 0 {
		return 0
	}
	return 2*n1*n2/(n1+n2) + 1
}

func (r runs) variance() float64 {
	n1, n2 := float64(r.above), float64(r.below)
	if n1+n2 < 2 {
		return 0
	}
	return 2 * n1 * n2 * (2*n1*n2 - n1 - n2) / ((n1 + n2) * (n1 + n2) * (n1 + n2 - 1))
}

func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	half := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[half]
	}
	return (sorted[half-1] + sorted[half]) / 2
}
