package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
)

// Course is what a Trend rests on and how it was found.
type Course struct {
	Limit  job.Limit
	Points []CoursePoint // in the order of the axis
	// From and To are the ends of the axis that are looked at: the first point, and twice the observed span after it.
	// Nothing is said beyond To.
	From, To float64
	Laws     []CourseLaw   // all that were tried, in a fixed order
	Errors   []ErrorsShare // how much each way of departing from the law weighs
	// LagOne is the autocorrelation of neighbouring residuals about the law that is named: far from zero, the points
	// wander about it.
	LagOne float64
	Curve  []CourseBand // the named law from From to To with bands as if every point departed from it by itself
	// Fan is the forecast from the last point to To, of all laws and errors by their weights: 95 % bands of where the
	// quantity is, and of where a measurement of it would be.
	Fan    []CourseBand
	Robust statistics.RobustTrend
	Trial  *ForecastTrial // nil where there are too few points to try it
	// Shared is the relative standard uncertainty that all points have in common (baseline, temperature, circuit): it
	// does not show in their scatter. Bands and intervals leave it out, unless a field says otherwise.
	Shared float64
}

// CoursePoint is one measurement of a course.
type CoursePoint struct {
	Measurement int     // of the cell
	Place       float64 // on the axis
	Value       float64
	Own         float64 // standard uncertainty that it does not share with the other points
}

// CourseLaw is a law with what the points say for it: a + b·x^p.
type CourseLaw struct {
	Law                    string
	Intercept, Coefficient fit.Value // b in the unit of the quantity per unit of the axis to the power p
	Exponent               float64   // p; of the power law the likeliest of those tried
	AICc                   float64   // lowest of its fits; NaN where the points are too few for it
	Weight                 float64   // Akaike weight of all of them, 0 to 1
}

// ErrorsShare is the weight of one way of departing from the law: "independent" points; "wandering" about it; or a
// "drifting rate", away from it for good.
type ErrorsShare struct {
	Errors string
	Weight float64
}

// CourseBand is a curve with its 95 % bands at one place. Confidence is that of the curve, Prediction that of a measurement.
type CourseBand struct {
	Place, Value           float64
	Confidence, Prediction fit.Interval
}

// ForecastTrial is the same forecast made from the first half of the points and held against the others within its reach.
type ForecastTrial struct {
	Points, Later, Held int // points used; later ones; those of them within the 95 % prediction band
}

// Missed reports whether fewer later points were held than bands of 95 % hold by chance in all but one case in twenty (binomial).
func (t ForecastTrial) Missed() bool {
	return t.Later > 0 && distuv.Binomial{N: float64(t.Later), P: 0.95}.CDF(float64(t.Held)) < 0.05
}

// trends forecasts each limited quantity of a cell with a history. A cell measured once has none.
func (g grounds) trends(s *specimen) (list []Trend) {
	if len(s.accepted()) < 2 {
		return nil
	}
	list = make([]Trend, 0, len(g.job.Limits))
	for _, limit := range g.job.Limits {
		t := g.trend(s, limit)
		t.Reason = g.say.reason(t.Because)
		list = append(list, t)
	}
	return list
}

// fewestPoints is how many measurements a trend takes at least.
const fewestPoints = 4

func (g grounds) trend(s *specimen, limit job.Limit) Trend {
	points, shared := g.course(s, limit.Quantity)
	t := Trend{Quantity: limit.Quantity, Course: &Course{Limit: limit, Shared: shared}}
	axis, places := s.axis(points)
	t.Against = axis
	for i, x := range places {
		points[i].Place = x
	}
	t.Course.Points = points
	switch n := len(points); {
	case n < fewestPoints:
		t.Because = because("trend-too-few-points", count("points", n), count("needed", fewestPoints))
	case places == nil:
		t.Because = because("trend-without-axis")
	default:
		course := newSeries(points)
		if t.Because = g.ageless(s, points, axis); !t.Because.says() && course.exact() {
			t.Because = because("trend-without-scatter")
		}
		if !t.Because.says() {
			t.fill(course, g.sparse == nil)
		}
	}
	return t
}

// course is a quantity at every accepted measurement that has it, and the relative uncertainty that the points share.
func (g grounds) course(s *specimen, q job.Quantity) (points []CoursePoint, shared float64) {
	accepted := s.accepted()
	points = make([]CoursePoint, 0, len(accepted))
	for _, i := range accepted {
		o := measurands[q].had(g, s, i)
		if o.reason.says() {
			continue
		}
		value, u := o.value.Estimate(), o.value.StandardUncertainty()
		own := u * math.Sqrt(scatteringShare(o.contributions))
		points = append(points, CoursePoint{Measurement: i, Value: value, Own: own})
		if value != 0 {
			shared = max(shared, math.Sqrt(max(0, u*u-own*own))/math.Abs(value))
		}
	}
	fillOwn(points)
	return points, shared
}

// scatteringShare is the share of a variance that makes neighbouring points of a course scatter: what their own spectra
// gave. The temperature's part is not counted there: it is shared as far as the sensor is off by the same all the time,
// and as far as not it shows in the scatter.
func scatteringShare(budget []Contribution) (share float64) {
	for _, c := range budget {
		switch c.Source {
		case asMeasured.fit, asMeasured.offset, asMeasured.interpolation:
			share += c.Share
		case correlated:
			share += c.Share / 2 // half of it is the baseline's
		}
	}
	return min(max(share, 0), 1)
}

// fillOwn gives points without an uncertainty of their own, such as the baseline's own growth of one, that of the others.
func fillOwn(points []CoursePoint) {
	var stated []float64
	for _, p := range points {
		if p.Own > 0 {
			stated = append(stated, p.Own)
		}
	}
	if len(stated) == 0 {
		return
	}
	usual := statistics.MedianOf(stated)
	for i := range points {
		if !(points[i].Own > 0) {
			points[i].Own = usual
		}
	}
}
