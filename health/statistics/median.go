package statistics

import (
	"math"
	"slices"
)

// Median of sorted values; not a number where there are none.
func Median(sorted []float64) float64 {
	n := len(sorted)
	if n == 0 {
		return math.NaN()
	}
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// MedianDeviation is the median of the distances from the median.
func MedianDeviation(sorted []float64) float64 {
	middle := Median(sorted)
	apart := make([]float64, len(sorted))
	for i, v := range sorted {
		apart[i] = math.Abs(v - middle)
	}
	slices.Sort(apart)
	return Median(apart)
}

// MedianOf is the median of values in any order.
func MedianOf(values []float64) float64 { return Median(slices.Sorted(slices.Values(values))) }
