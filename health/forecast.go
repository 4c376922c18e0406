package health

import (
	"math"
	"slices"

	"ohmledger/fit"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
)

// A forecast is an opinion about a cell: where its course goes if it goes on as it did. The laws are a straight line, a
// square root and a power of the axis; each may be departed from by every point for itself, by wandering about it, or by
// a rate that drifts. Each pair is fitted by generalised least squares and weighs by its corrected Akaike criterion;
// bands are those of all together, so that they hold what is not known about the law too. The limit is met where it lies
// within the band: that is inverse regression, Fieller's interval where the law is one line (Fieller, J. R. Stat. Soc. B
// 16 (1954) 175). Nothing announces a knee, at which a cell begins to age many times as fast: a course that bends down
// later than it was last measured leaves any such band.

// series is a course ready to be fitted.
type series struct {
	x, y, noise []float64 // noise: each point's variance over their mean
	stated      float64   // mean variance of the points' own uncertainties
}

// newSeries weighs points by their own uncertainty and by the scatter that a line leaves beyond it.
func newSeries(points []CoursePoint) *series {
	s := &series{}
	own := make([]float64, len(points))
	for i, p := range points {
		s.x, s.y = append(s.x, p.Place), append(s.y, p.Value)
		own[i] = p.Own * p.Own
		s.stated += own[i] / float64(len(points))
	}
	s.noise = make([]float64, len(points))
	for i := range s.noise {
		s.noise[i] = 1
	}
	if !(s.stated > 0) {
		return s
	}
	rest := s.scatterBeyond(own)
	for i := range s.noise {
		s.noise[i] = (own[i] + rest) / (s.stated + rest)
	}
	return s
}

// scatterBeyond is the variance that, added to each point's own, makes the weighted residuals of the better of line and
// root as large as they should be (Paule and Mandel, J. Res. NBS 87 (1982) 377); 0 where they are smaller already.
func (s *series) scatterBeyond(own []float64) float64 {
	least := math.Inf(1)
	for _, law := range growthLaws[:2] {
		rows := s.rows(law, law.exponents[0])
		excess := func(rest float64) float64 {
			variances := make([]float64, len(own))
			for i, v := range own {
				variances[i] = v + rest
			}
			return math.Sqrt(float64(len(own)-2)) - math.Sqrt(statistics.RegressOn(s.x, rows, s.y, variances, statistics.Independent()).Squares)
		}
		rest := 0.0
		if at0 := excess(0); at0 < 0 {
			reach := s.stated
			for excess(reach) < 0 {
				reach *= 4
			}
			rest = statistics.ZeroWithin(excess, 0, reach, at0, excess(reach))
		}
		least = min(least, rest)
	}
	return least
}

// lastDigit is the residual, relative to the largest value, below which points lie on a law to the last digit: far below any
// reading's last digit, far above what arithmetic rounds (common practice).
const lastDigit = 1e-9

// exact reports whether points without uncertainties of their own lie on a line or a root to the last digit. Readings of
// few digits can, and a value that was copied does: what a course departs from its law by, they do not show.
func (s *series) exact() bool {
	if s.stated > 0 {
		return false
	}
	largest := max(slices.Max(s.y), -slices.Min(s.y))
	for _, law := range growthLaws[:2] {
		r := statistics.RegressOn(s.x, s.rows(law, law.exponents[0]), s.y, s.noise, statistics.Independent())
		if math.Sqrt(r.Squares/float64(len(s.y))) <= lastDigit*largest {
			return true
		}
	}
	return false
}

func (s *series) span() float64 { return s.x[len(s.x)-1] - s.x[0] }

// until is the end of what is forecast: as far again as has been observed.
func (s *series) until() float64 { return s.x[0] + 2*s.span() }

// noiseOf a measurement to come: as of those made, in proportion to their mean.
const noiseToCome = 1

// firstHalf are the points that a forecast is tried on.
func (s *series) firstHalf() *series {
	n := len(s.x) / 2
	return &series{s.x[:n], s.y[:n], s.noise[:n], s.stated}
}

// trial makes the forecast of the first half and counts what it held.
func (s *series) trial() *ForecastTrial {
	half := s.firstHalf()
	n := len(half.x)
	if n < fewestPoints || !(half.span() > 0) {
		return nil
	}
	m := half.models()
	t := &ForecastTrial{Points: n}
	for i := n; i < len(s.x) && s.x[i] <= half.until(); i++ {
		t.Later++
		if p := m.at(s.x[i], half.span(), s.noise[i]).Below(s.y[i]); p >= 0.025 && p <= 0.975 {
			t.Held++
		}
	}
	return t
}

// fill makes the forecast of a series of enough points, with its curves where they are to be drawn.
func (t *Trend) fill(s *series, drawn bool) {
	c, m := t.Course, s.models()
	c.From, c.To = s.x[0], s.until()
	shown := s.shown(m)
	t.Law = shown.law.name
	c.Laws, c.Errors = s.laws(m), m.errors()
	c.LagOne = s.lagOne(shown)
	if drawn {
		c.Curve, c.Fan = s.curve(shown), s.fan(m)
	}
	c.Robust = statistics.TheilSen(s.x, s.y)
	c.Trial = s.trial()
	rate := m.rate(s.span())
	middle, low, high := rate.Quantile(0.5), rate.Quantile(0.158655), rate.Quantile(0.841345)
	if u := (high - low) / 2; !math.IsNaN(middle+u) && !math.IsInf(middle+u, 0) {
		t.Rate = fit.NewValue(middle, u)
	}
	t.meet(s, m, rate)
}

// errors sums the weights of a mixture by how its models depart from the law.
func (m mixture) errors() []ErrorsShare {
	shares := []ErrorsShare{{Errors: statistics.IndependentErrors}, {Errors: statistics.WanderingErrors}, {Errors: statistics.DriftingRate}}
	for _, f := range m {
		i := slices.IndexFunc(shares, func(e ErrorsShare) bool { return e.Errors == f.fit.Model.Name })
		shares[i].Weight += f.weight
	}
	return shares
}

// laws states each law that was tried, as its likeliest fit of points that depart from it independently has it.
func (s *series) laws(m mixture) (list []CourseLaw) {
	shares := m.shares()
	list = make([]CourseLaw, 0, len(growthLaws))
	for l, law := range growthLaws {
		best := CourseLaw{Law: law.name, Exponent: law.exponents[0], AICc: math.NaN(), Weight: shares[l]}
		for _, p := range law.exponents {
			n, k := float64(len(s.x)), float64(law.coefficients+1)
			if n-k-1 <= 0 && law.coefficients > 2 {
				continue
			}
			r := statistics.RegressOn(s.x, s.rows(law, p), s.y, s.noise, statistics.Independent())
			aicc := correctedAkaike(r, n, k)
			if best.AICc <= aicc {
				continue
			}
			scale := math.Pow(s.span(), -p)
			u := func(k int) float64 { return math.Sqrt(max(r.Variance, s.stated) * r.Inverse[k][k]) }
			best.AICc, best.Exponent = aicc, p
			best.Intercept = fit.NewValue(r.Coefficients[0], u(0))
			best.Coefficient = fit.NewValue(r.Coefficients[1]*scale, u(1)*scale)
		}
		list = append(list, best)
	}
	return list
}

// lagOne is the correlation of neighbouring residuals about a law.
func (s *series) lagOne(f forecaster) float64 {
	top, bottom, before := 0.0, 0.0, 0.0
	for i, x := range s.x {
		value, _ := f.fit.Law(f.law.row(x/s.span(), f.exponent))
		off := s.y[i] - value
		top, bottom, before = top+off*before, bottom+off*off, off
	}
	if !(bottom > 0) {
		return 0
	}
	return top / bottom
}

// beyondLimit reports whether a value is on the wrong side of a limit.
func beyondLimit(value float64, l job.Limit) bool {
	return l.Side == job.Max && value > l.Bound || l.Side == job.Min && value < l.Bound
}
