package health

import (
	"cmp"
	"slices"

	"ohmledger/health/job"
)

// trendAxes are what a course may go against, the first that fits: full cycles, then charge throughput, then days since
// the first point. An axis fits where every point states it, it never falls, and it gets on between the first and the
// last.
var trendAxes = []struct {
	name string
	of   func(m, first *job.Measurement) *float64
}{
	{"cycles", func(m, _ *job.Measurement) *float64 { return m.Cycles }},
	{"throughput_ah", func(m, _ *job.Measurement) *float64 { return m.ThroughputAh }},
	{"days", func(m, first *job.Measurement) *float64 {
		days := m.MeasuredAt.Sub(first.MeasuredAt).Hours() / 24
		return &days
	}},
}

// axis chooses what the points go against and gives their places on it; days without places where nothing gets on.
func (s *specimen) axis(points []CoursePoint) (name string, places []float64) {
	for _, a := range trendAxes {
		places = places[:0]
		for _, p := range points {
			if x := a.of(s.Measurements[p.Measurement].Row, s.Measurements[points[0].Measurement].Row); x != nil {
				places = append(places, *x)
			}
		}
		n := len(places)
		if n == len(points) && n > 1 && slices.IsSorted(places) && places[n-1] > places[0] {
			return a.name, places
		}
	}
	return trendAxes[len(trendAxes)-1].name, nil
}

// ageless says why points whose use is not stated show no ageing: they are of one day, or a temperature series. What such a
// series shows over its days is the temperature, where that goes one way all the time or the activation energies are read from it.
func (g grounds) ageless(s *specimen, points []CoursePoint, axis string) Statement {
	if axis != "days" {
		return Statement{}
	}
	if points[len(points)-1].Place-points[0].Place < 1 {
		return because("trend-of-one-day")
	}
	at := make([]ArrheniusPoint, len(points))
	for i, p := range points {
		at[i].TemperatureC = s.Measurements[p.Measurement].Row.TemperatureC
	}
	warmer := func(a, b ArrheniusPoint) int { return cmp.Compare(a.TemperatureC, b.TemperatureC) }
	colder := func(a, b ArrheniusPoint) int { return warmer(b, a) }
	oneWay := slices.IsSortedFunc(at, warmer) || slices.IsSortedFunc(at, colder)
	if (oneWay || g.job.TemperatureCorrection.Source == job.CorrectionMeasured) && !tooFew(at).says() {
		return because("trend-of-temperatures")
	}
	return Statement{}
}
