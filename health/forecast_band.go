package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
)

// How finely curves are drawn.
const (
	curveSteps = 32
	fanSteps   = 16
)

// curve is a law with the bands of ordinary regression (NIST/SEMATECH e-Handbook 4.5.1.1 and 4.5.1.2).
func (s *series) curve(f forecaster) (bands []CourseBand) {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: f.fit.Freedom}.Quantile(0.975)
	for i := range curveSteps + 1 {
		x := s.x[0] + (s.until()-s.x[0])*float64(i)/curveSteps
		value, variance := f.fit.Law(f.law.row(x/s.span(), f.exponent))
		about := func(v float64) fit.Interval {
			return fit.Interval{Lower: value - t*math.Sqrt(v), Upper: value + t*math.Sqrt(v)}
		}
		bands = append(bands, CourseBand{x, value, about(variance), about(variance + f.fit.Variance)})
	}
	return bands
}

// fan is the forecast of all models.
func (s *series) fan(m mixture) (bands []CourseBand) {
	last := s.x[len(s.x)-1]
	for i := range fanSteps + 1 {
		x := last + (s.until()-last)*float64(i)/fanSteps
		there, measured := m.at(x, s.span(), 0), m.at(x, s.span(), noiseToCome)
		bands = append(bands, CourseBand{x, there.Quantile(0.5), there.Central(), measured.Central()})
	}
	return bands
}
