package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// member is one model of a forecast with its share of the whole.
type forecaster struct {
	law      *growthLaw
	exponent float64
	fit      *regression
	weight   float64 // Akaike weight; all sum to 1
	aicc     float64
}

// mixture is the forecast of all models together, each Student's t with its own degrees of freedom about its own mean.
type mixture []forecaster

// component is one model's distribution of a number.
type component struct{ weight, mean, sd, freedom float64 }

// spot is the distribution of one number.
type spot []component

// at is where the growth is at a place; with noise, where a measurement of it would be, noise being its variance over the mean of those made.
func (m mixture) at(x, span, noise float64) spot {
	s := make(spot, len(m))
	for i, f := range m {
		value, variance := f.fit.at(x, f.law.row(x/span, f.exponent))
		s[i] = component{f.weight, value, math.Sqrt(variance + noise*f.fit.variance), f.fit.freedom}
	}
	return s
}

// rate at the last point, per unit of the axis.
func (m mixture) rate(span float64) spot {
	s := make(spot, len(m))
	for i, f := range m {
		value, variance := f.fit.rate(f.law.slope(f.fit.last/span, span, f.exponent))
		s[i] = component{f.weight, value, math.Sqrt(variance), f.fit.freedom}
	}
	return s
}

// below is the probability of less than a value.
func (s spot) below(y float64) (p float64) {
	for _, c := range s {
		switch {
		case c.sd > 0:
			p += c.weight * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: c.freedom}.CDF((y-c.mean)/c.sd)
		case y >= c.mean:
			p += c.weight
		}
	}
	return p
}

// quantile is the value below which the number lies with probability p.
func (s spot) quantile(p float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range s {
		q := c.mean + c.sd*distuv.StudentsT{Mu: 0, Sigma: 1, Nu: c.freedom}.Quantile(p)
		low, high = min(low, q), max(high, q)
	}
	if !(high > low) {
		return low
	}
	f := func(y float64) float64 { return s.below(y) - p }
	const digits = 1e-5 // of probability
	below, above := f(low), f(high)
	for range 60 {
		if below >= 0 {
			return low
		}
		y := low - below*(high-low)/(above-below)
		if !(y > low && y < high) {
			y = (low + high) / 2
		}
		switch p := f(y); {
		case math.Abs(p) < digits:
			return y
		case p < 0:
			low, below, above = y, p, halved(above, below, p)
		default:
			high, above, below = y, p, halved(below, above, p)
		}
	}
	return (low + high) / 2
}
