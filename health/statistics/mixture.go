package statistics

import (
	"math"

	"ohmledger/fit"
)

// Student is one member of a mixture: Student's t with Freedom degrees of freedom, a whole number, about Mean in units of SD. Where SD
// is 0 the number is certain.
type Student struct{ Weight, Mean, SD, Freedom float64 }

// StudentMixture is the distribution of a number of which several models are probable; the weights sum to 1.
type StudentMixture []Student

// Central is the interval that holds 95 %.
func (s StudentMixture) Central() fit.Interval {
	return fit.Interval{Lower: s.Quantile(0.025), Upper: s.Quantile(0.975)}
}

// Below is the probability of less than a value.
func (s StudentMixture) Below(y float64) (p float64) {
	for _, c := range s {
		switch {
		case c.SD > 0:
			p += c.Weight * studentCDF((y-c.Mean)/c.SD, int(c.Freedom))
		case y >= c.Mean:
			p += c.Weight
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

// Quantile is the value below which the number lies with probability p.
func (s StudentMixture) Quantile(p float64) float64 {
	mean, sd := s.moments()
	if !(sd > 0) {
		return mean
	}
	f := func(y float64) float64 { return s.Below(y) - p }
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
func (s StudentMixture) moments() (mean, sd float64) {
	for _, c := range s {
		mean += c.Weight * c.Mean
	}
	for _, c := range s {
		sd += c.Weight * (c.SD*c.SD + squared(c.Mean-mean))
	}
	return mean, math.Sqrt(sd)
}
