package health

import (
	"math"
	"slices"

	"ohmledger/health/job"
)

// measurand is how a quantity that a limit may name is had from a measurement.
type measurand struct {
	ratio bool // decided on its logarithm
	had   func(g grounds, s *specimen, i int) outcome
}

// measurands of all quantities that a limit may name.
var measurands = map[job.Quantity]measurand{
	job.OhmicOhm:                {false, absolute(job.OhmicOhm, ohmic)},
	job.ChargeTransferOhm:       {false, absolute(job.ChargeTransferOhm, chargeTransfer)},
	job.ACResistance1kHzOhm:     {false, absolute(job.ACResistance1kHzOhm, alternating)},
	job.OhmicGrowth:             {true, growing(job.OhmicGrowth, ohmic)},
	job.ChargeTransferGrowth:    {true, growing(job.ChargeTransferGrowth, chargeTransfer)},
	job.TotalResistanceGrowth:   {true, growing(job.TotalResistanceGrowth, ohmic, polarisation)},
	job.CapacityAh:              {false, capacity},
	job.CapacityRetention:       {false, retention},
	job.ResistanceStateOfHealth: {false, stateOfHealth},
}

func growing(q job.Quantity, parts ...resistance) func(grounds, *specimen, int) outcome {
	return func(g grounds, s *specimen, i int) outcome { return g.growth(s, i, q, parts...) }
}

func absolute(q job.Quantity, r resistance) func(grounds, *specimen, int) outcome {
	return func(g grounds, s *specimen, i int) outcome { return g.atReference(s, i, q, r) }
}

// atReference is a resistance at the reference temperature, ohm.
func (g grounds) atReference(s *specimen, i int, q job.Quantity, r resistance) outcome {
	m, celsius := &s.Measurements[i], g.job.Conditions.ReferenceTemperatureC
	if why := m.rejection(); why.says() {
		return outcome{reason: why}
	}
	if why := m.touching(q); why.says() {
		return outcome{reason: why}
	}
	if g.energies[r].apart(m.Row.TemperatureC, m.Row.TemperatureUncertaintyC, celsius, 0) {
		return outcome{reason: because("reference-temperature-apart", number("at", m.Row.TemperatureC, Celsius), number("reference", celsius, Celsius), r.fact())}
	}
	if why := m.overdriven(r); why.says() {
		return outcome{reason: why}
	}
	reading, why := g.reading(s, i, r, asMeasured)
	if why.says() {
		return outcome{reason: why}
	}
	reading = s.withExcitation(reading, i, r, nil)
	bend := g.energies[r].curved(m.Row.TemperatureC, celsius)
	v, budget, ok := ohms(g.energies[r].at(reading, celsius).with(bend), s.covariance)
	if !ok {
		return outcome{reason: because("not-statable", r.fact(), number("reference", celsius, Celsius))}
	}
	return outcome{value: v, contributions: budget}
}

// capacity as the job states it for the measurement. Its uncertainty is not stated anywhere.
func capacity(_ grounds, s *specimen, i int) outcome {
	c := s.Measurements[i].Row.CapacityAh
	if c == nil {
		return outcome{reason: because("capacity-unknown")}
	}
	v, ok := finite(*c, 0)
	if !ok || *c < 0 {
		return outcome{reason: because("capacity-impossible", number("capacity", *c, AmpereHour))}
	}
	return outcome{value: v, unstated: true}
}

// retention is the capacity over the cell's first stated one.
func retention(g grounds, s *specimen, i int) outcome {
	now := capacity(g, s, i)
	if now.reason.says() {
		return now
	}
	first, _ := s.firstCapacity()
	if !first.Known() {
		return outcome{reason: because("capacity-without-first")}
	}
	if why := s.capacityRises(first.Estimate()); why.says() {
		return outcome{reason: why}
	}
	v, ok := finite(now.value.Estimate()/first.Estimate(), 0)
	if !ok {
		return outcome{reason: because("capacity-first-impossible", number("capacity", first.Estimate(), AmpereHour))}
	}
	return outcome{value: v, unstated: true}
}

// mostCapacityGain is what a cell may show over its first capacity: some percent come with its first cycles and with a warmer
// day (common practice). Beyond it one of the two was measured or written otherwise.
const mostCapacityGain = 0.15

// capacityRises says that a later capacity is far above the first, which then is none to hold the others against.
func (s *specimen) capacityRises(first float64) Statement {
	for i := range s.Measurements {
		row := s.Measurements[i].Row
		if c := row.CapacityAh; c != nil && *c > (1+mostCapacityGain)*first {
			return because("capacity-rises", number("first", first, AmpereHour), number("later", *c, AmpereHour), moment("on", row.MeasuredAt))
		}
	}
	return Statement{}
}

// stateOfHealth is (R_EoL − R)/(R_EoL − R_new), of the charge-transfer resistance: with the growth G = R/R_new and the
// limit L = R_EoL/R_new it is (L − G)/(L − 1).
func stateOfHealth(g grounds, s *specimen, i int) outcome {
	end, why := g.endOfLife()
	if why.says() {
		return outcome{reason: why}
	}
	growth := g.growth(s, i, job.ResistanceStateOfHealth, chargeTransfer)
	if growth.reason.says() {
		return growth
	}
	span := end - 1
	v, ok := finite((end-growth.value.Estimate())/span, growth.value.StandardUncertainty()/span)
	if !ok {
		return outcome{reason: because("health-not-statable", number("growth", growth.value.Estimate(), One))}
	}
	return outcome{value: v, contributions: scaled(growth.contributions, growth.value.Estimate()/span)}
}

// endOfLife is the growth of the charge-transfer resistance at which the job's limits end a cell's life; the strictest where several do.
func (g grounds) endOfLife() (growth float64, why Statement) {
	growth = math.Inf(1)
	for _, l := range g.job.Limits {
		if l.Quantity == job.ChargeTransferGrowth && l.Side == job.Max {
			growth = min(growth, l.Bound)
		}
	}
	switch {
	case math.IsInf(growth, 1):
		return 0, because("no-end-of-life")
	case growth <= 1:
		return 0, because("no-life", number("limit", growth, One))
	}
	return growth, Statement{}
}

// judgeable is the quantity of a measurement as a criterion wants it: where nothing later than the baseline has been
// measured, a growth of one would say nothing.
func (g grounds) judgeable(s *specimen, i int, q job.Quantity) outcome {
	o := measurands[q].had(g, s, i)
	if o.reason.says() {
		return o
	}
	resists := measurands[q].ratio || q == job.ResistanceStateOfHealth
	if resists && s.footing.Source == job.First && slices.Contains(s.footing.Measurements, i) {
		if later := s.rejectedAfter(i); later > 0 {
			return outcome{reason: because(onlyBaselineAccepted, count("spectra", later))}
		}
		return outcome{reason: because("only-baseline")}
	}
	if _, first := s.firstCapacity(); q == job.CapacityRetention && !s.Measurements[i].Row.MeasuredAt.After(first) {
		return outcome{reason: because("only-first-capacity")}
	}
	return o
}

// onlyBaselineAccepted is the reason where spectra later than the baseline were measured and every one is rejected.
const onlyBaselineAccepted = "only-baseline-accepted"

// rejectedAfter counts the rejected spectra after a measurement.
func (s *specimen) rejectedAfter(i int) (later int) {
	for k := range s.Measurements[i+1:] {
		if s.Measurements[i+1+k].rejection().says() {
			later++
		}
	}
	return later
}
