package health

import "math"

// forecaster is one model of a forecast with its share of the whole.
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

// at is where the growth is at a place; with noise, where a measurement of it would be, noise being its variance over
// the mean of those made.
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
			p += c.weight * studentCDF((y-c.mean)/c.sd, int(c.freedom))
		case y >= c.mean:
			p += c.weight
		}
	}
	return p
}

// studentCDF is Student's t distribution with a whole number of degrees of freedom, by its finite sums in the cosine of
// the angle whose tangent is t/√ν (Abramowitz and Stegun, 26.7.3 and 26.7.4).
func studentCDF(t float64, freedom int) float64 {
	cosine2 := float64(freedom) / (float64(freedom) + t*t)
	sine := t / math.Sqrt(float64(freedom)+t*t)
	term, sum, k := 1.0, 0.0, 1
	if freedom%2 == 1 {
		term, k = math.Sqrt(cosine2), 2
	}
	for ; k < freedom; k += 2 {
		sum += term
		term *= cosine2 * float64(k) / float64(k+1)
	}
	if freedom%2 == 1 {
		return 0.5 + (math.Atan(t/math.Sqrt(float64(freedom)))+sine*sum)/math.Pi
	}
	return 0.5 + sine*sum/2
}

// quantile is the value below which the number lies with probability p.
func (s spot) quantile(p float64) float64 {
	mean, sd := s.moments()
	if !(sd > 0) {
		return mean
	}
	f := func(y float64) float64 { return s.below(y) - p }
	low, high := mean-sd, mean+sd
	below, above := f(low), f(high)
	for step := sd; below > 0; step *= 2 {
		high, above = low, below
		low -= step
		below = f(low)
	}
	for step := sd; above < 0; step *= 2 {
		low, below = high, above
		high += step
		above = f(high)
	}
	const digits = 1e-6 // of probability
	for range 100 {
		y := low - below*(high-low)/(above-below)
		if !(y > low && y < high) {
			y = low + (high-low)/2
		}
		switch p := f(y); {
		case math.Abs(p) < digits || high-low <= 1e-12*sd:
			return y
		case p < 0:
			low, below, above = y, p, halved(above, below, p)
		default:
			high, above, below = y, p, halved(below, above, p)
		}
	}
	return low + (high-low)/2
}

// moments are the mean of the components' means and how far these and the components spread.
func (s spot) moments() (mean, sd float64) {
	for _, c := range s {
		mean += c.weight * c.mean
	}
	for _, c := range s {
		sd += c.weight * (c.sd*c.sd + square(c.mean-mean))
	}
	return mean, math.Sqrt(sd)
}
