package report

import (
	"math"

	"ohmledger/health"
)

// year is the longest step that a rate in days is stated for.
const year = 365

// RateStep is how far on a trend's axis its rate is stated for, in units of the axis: the largest power of ten, or of days a year,
// that the observed span has in it. A rate per thousand cycles would claim more than a hundred observed cycles can tell.
func RateStep(t *health.Trend) float64 {
	span := observed(t)
	if !(span > 0) || math.IsInf(span, 0) {
		return 1
	}
	if t.Against == "days" && span >= year {
		return year
	}
	return math.Pow10(int(math.Floor(math.Log10(span) + rounding)))
}

// rounding lets a span that is a power of ten but for its last digits be one.
const rounding = 1e-9

// observed is the length of the axis that the points of a trend lie on.
func observed(t *health.Trend) float64 {
	if t.Course == nil || len(t.Course.Points) == 0 {
		return 0
	}
	points := t.Course.Points
	return points[len(points)-1].Place - points[0].Place
}
