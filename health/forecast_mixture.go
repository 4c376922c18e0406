package health

import (
	"math"

	"ohmledger/health/statistics"
)

// forecaster is one model of a forecast with its share of the whole.
type forecaster struct {
	law      *growthLaw
	exponent float64
	fit      *statistics.Regression
	weight   float64 // Akaike weight; all sum to 1
	aicc     float64
}

// mixture is the forecast of all models together, each Student's t with its own degrees of freedom about its own mean.
type mixture []forecaster

// at is where the growth is at a place; with noise, where a measurement of it would be, noise being its variance over
// the mean of those made.
func (m mixture) at(x, span, noise float64) statistics.StudentMixture {
	s := make(statistics.StudentMixture, len(m))
	for i, f := range m {
		value, variance := f.fit.At(x, f.law.row(x/span, f.exponent))
		s[i] = statistics.Student{Weight: f.weight, Mean: value, SD: math.Sqrt(variance + noise*f.fit.Variance), Freedom: f.fit.Freedom}
	}
	return s
}

// rate at the last point, per unit of the axis.
func (m mixture) rate(span float64) statistics.StudentMixture {
	s := make(statistics.StudentMixture, len(m))
	for i, f := range m {
		value, variance := f.fit.Rate(f.law.slope(f.fit.Last/span, span, f.exponent))
		s[i] = statistics.Student{Weight: f.weight, Mean: value, SD: math.Sqrt(variance), Freedom: f.fit.Freedom}
	}
	return s
}
