package health

import (
	"ohmledger/fit"
	"ohmledger/fit/spectrum"
)

// forgetCurves drops what only drawings and tables of points need: the measured impedances, the fitted ones, residuals and
// correlations. Of a spectrum its file and frequencies stay.
func (s *specimen) forgetCurves() {
	for i := range s.Measurements {
		m := &s.Measurements[i]
		m.Spectrum = &spectrum.Spectrum{File: m.Spectrum.File, Frequency: m.Spectrum.Frequency}
		if f := m.Fit; f != nil {
			thin := *f
			thin.Fitted, thin.Residuals, thin.Correlation, thin.ParameterNames = nil, nil, nil, nil
			thin.Unresolved, thin.Because = unlessEmpty(thin.Unresolved), unlessEmpty(thin.Because)
			m.Fit = &thin
		}
		if m.Fixture != nil {
			thin := *m.Fixture
			thin.Measured = nil
			m.Fixture = &thin
		}
	}
}

// unlessEmpty is nil in place of a map without entries.
func unlessEmpty[V any](m map[fit.Element]V) map[fit.Element]V {
	if len(m) == 0 {
		return nil
	}
	return m
}

// forgetTests drops what only the checks of the points and drawings need.
func (s *specimen) forgetTests() {
	for i := range s.Measurements {
		if k := s.Measurements[i].Quality.KramersKronig; k != nil {
			thin := *k
			thin.Residuals, thin.Decades = nil, nil
			s.Measurements[i].Quality.KramersKronig = &thin
		}
	}
}

// forgetWays drops the ways to a judgement once it is made: what the fits know of covariances, steps and the baseline's effects.
func (s *specimen) forgetWays() {
	s.footing, s.twins, s.steps, s.logs, s.misfits = nil, nil, nil, nil, nil
}
