package health

import (
	"fmt"
	"math"

	"ohmledger/health/job"
)

// grounds is what every judgement of a job rests on.
type grounds struct {
	job      *job.Job
	bare     bool // nothing is stated about the measurements
	say      Phrase
	store    Store     // for what is kept then
	sparse   *outlines // what is kept of curves once they are fitted; nil: all
	short    *shorted  // nil: nothing is subtracted for leads and fixture
	energies [resistanceCount]activation
}

// reading returns the logarithm of a resistance as one spectrum gave it, without its Arrhenius term:
// ln R − E/(R_gas T). Where there is none it says why.
func (g grounds) reading(s *specimen, i int, r resistance, as role) (logarithm, Statement) {
	m := &s.Measurements[i]
	v, why := m.resistance(r)
	if why.says() {
		return logarithm{}, why
	}
	a, row, ohm := g.energies[r], m.Row, v.Estimate()
	of := fmt.Sprintf("/%s/%d", s.Name, i)
	l := logarithm{value: math.Log(ohm) - a.exponent(row.TemperatureC)}
	l.effects = append(l.effects,
		effect{instrumentScale, "scale/" + g.instrument(row), g.job.Instrument.RelativeUncertainty, true},
		a.warmed(row.TemperatureC, row.TemperatureUncertaintyC, as.temperature, "temperature"+of),
		a.uncertain(row.TemperatureC))
	if traits[r].offset {
		l.effects = append(l.effects, effect{as.offset, "offset" + of, g.job.Instrument.AbsoluteUncertaintyOhm / ohm, false})
	}
	l.effects = append(l.effects, m.fixtureEffects(r, ohm)...)
	if r == alternating {
		l.effects = append(l.effects, effect{as.interpolation, "interpolation" + of, m.interpolation / ohm, false})
		return l, Statement{}
	}
	e := traits[r].element
	l.fits = []fitted{{as.fit, i, e, 1}}
	l.effects = append(l.effects, effect{circuitMisfit, "circuit/" + e.String(), m.Fit.LogModelU[e], true})
	return l, Statement{}
}

// instrument is the one that a row was measured with: the job's, unless the row names another.
func (g grounds) instrument(row *job.Measurement) string {
	if row.Instrument != "" {
		return row.Instrument
	}
	return g.job.Instrument.Name
}
