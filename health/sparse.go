package health

import (
	"slices"
	"sync"

	"ohmledger/fit"
	"ohmledger/fit/spectrum"
)

// outlines are what is kept of spectra whose curves are dropped: their frequencies, once for all that were measured at the same.
type outlines struct {
	lock  sync.Mutex
	known []*spectrum.Spectrum // the latest
}

// mostOutlines is how many are looked through for one that stands already.
const mostOutlines = 8

func (o *outlines) of(s *spectrum.Spectrum) *spectrum.Spectrum {
	o.lock.Lock()
	defer o.lock.Unlock()
	at := slices.IndexFunc(o.known, func(k *spectrum.Spectrum) bool { return slices.Equal(k.Frequency, s.Frequency) })
	if at >= 0 {
		return o.known[at]
	}
	outline := &spectrum.Spectrum{Frequency: s.Frequency}
	o.known = append(o.known, outline)
	o.known = o.known[max(0, len(o.known)-mostOutlines):]
	return outline
}

// Sparse are cells without what Evidence.Sparse says is not kept, which is dropped from the given ones, in a store where there is
// one.
func Sparse(cells Cells, store Store) Cells {
	o, kept := &outlines{}, newShelf(cells.Len(), store)
	for i, c := range cells.All() {
		c.forgetTests()
		c.forgetCurves(o)
		c.forgetFacts()
		for _, t := range c.Trend {
			t.Course.Curve, t.Course.Fan = nil, nil
		}
		kept.put(i, c)
	}
	kept.seal()
	return kept.cells()
}

// forgetCurves drops what only drawings and tables of points need: the measured impedances, the fitted ones, residuals and
// correlations. Of a spectrum its frequencies stay.
func (c *Cell) forgetCurves(o *outlines) {
	for i := range c.Measurements {
		m := &c.Measurements[i]
		m.Spectrum = o.of(m.Spectrum)
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
func (c *Cell) forgetTests() {
	for i := range c.Measurements {
		if k := c.Measurements[i].Quality.KramersKronig; k != nil {
			thin := *k
			thin.Residuals, thin.Decades = nil, nil
			c.Measurements[i].Quality.KramersKronig = &thin
		}
	}
}

// forgetFacts drops what the sentences about a cell's fits, baseline, criteria and grade state, which are in words by now.
func (c *Cell) forgetFacts() {
	for i := range c.Measurements {
		f := c.Measurements[i].Fit
		if f == nil {
			continue
		}
		f.Because = nil
		for k := range f.Doubts {
			f.Doubts[k].Facts = nil
		}
		for k := range f.Excluded {
			f.Excluded[k].Because = fit.Statement{}
		}
	}
	c.Baseline.Statements = nil
	for k := range c.Criteria {
		c.Criteria[k].Because.Facts = nil
	}
	if c.Grading != nil {
		c.Grading.Because.Facts = nil
		for k := range c.Grading.Missed {
			c.Grading.Missed[k].Because.Facts, c.Grading.Missed[k].Contributions = nil, nil
		}
	}
}

// forgetWays drops the ways to a judgement once it is made: what the fits know of covariances, steps and the baseline's effects.
func (s *specimen) forgetWays() {
	s.footing, s.twins, s.steps, s.logs, s.misfits = nil, nil, nil, nil, nil
}
