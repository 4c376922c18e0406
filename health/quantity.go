package health

import (
	"fmt"
	"math"
	"slices"

	"ohmledger/health/job"
)

// measurand is how a quantity that a limit may name is had from a measurement.
type measurand struct {
	words string
	ratio bool // decided on its logarithm
	had   func(g grounds, s *specimen, i int) outcome
}

// measurands of all quantities that a limit may name.
var measurands = map[job.Quantity]measurand{
	job.OhmicOhm:                {"ohmic resistance", false, absolute(job.OhmicOhm, ohmic)},
	job.ChargeTransferOhm:       {"charge-transfer resistance", false, absolute(job.ChargeTransferOhm, chargeTransfer)},
	job.ACResistance1kHzOhm:     {"a.c. resistance at 1 kHz", false, absolute(job.ACResistance1kHzOhm, alternating)},
	job.OhmicGrowth:             {"growth of the ohmic resistance", true, growing(job.OhmicGrowth, ohmic)},
	job.ChargeTransferGrowth:    {"growth of the charge-transfer resistance", true, growing(job.ChargeTransferGrowth, chargeTransfer)},
	job.TotalResistanceGrowth:   {"growth of the total resistance", true, growing(job.TotalResistanceGrowth, ohmic, polarisation)},
	job.CapacityAh:              {"capacity", false, capacity},
	job.CapacityRetention:       {"capacity retention", false, retention},
	job.ResistanceStateOfHealth: {"resistance-based state of health", false, stateOfHealth},
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
	if why := m.rejection(); why != "" {
		return outcome{reason: why}
	}
	if why := m.touching(q); why != "" {
		return outcome{reason: why}
	}
	if g.energies[r].apart(m.Row.TemperatureC, m.Row.TemperatureUncertaintyC, celsius, 0) {
		return outcome{reason: fmt.Sprintf("The cell was at %.1f °C, the reference temperature is %.1f °C, and no activation energy is known to correct the %s.",
			m.Row.TemperatureC, celsius, traits[r].name)}
	}
	reading, why := g.reading(s, i, r, asMeasured)
	if why != "" {
		return outcome{reason: why}
	}
	v, budget, ok := ohms(g.energies[r].at(reading, celsius), s.covariance)
	if !ok {
		return outcome{reason: fmt.Sprintf("The %s cannot be stated at %.1f °C.", traits[r].name, celsius)}
	}
	return outcome{value: v, contributions: budget}
}

// capacity as the job states it for the measurement. Its uncertainty is not stated anywhere and counts as none.
func capacity(_ grounds, s *specimen, i int) outcome {
	c := s.Measurements[i].Row.CapacityAh
	if c == nil {
		return outcome{reason: "No capacity is stated for this measurement."}
	}
	v, ok := finite(*c, 0)
	if !ok || *c < 0 {
		return outcome{reason: fmt.Sprintf("%.3g Ah is no possible capacity.", *c)}
	}
	return outcome{value: v}
}

// retention is the capacity over the cell's first stated one.
func retention(g grounds, s *specimen, i int) outcome {
	now := capacity(g, s, i)
	if now.reason != "" {
		return now
	}
	first, _ := s.firstCapacity()
	if !first.Known() {
		return outcome{reason: "The cell has no first capacity to compare with."}
	}
	v, ok := finite(now.value.Estimate()/first.Estimate(), 0)
	if !ok {
		return outcome{reason: fmt.Sprintf("The first capacity of %.3g Ah cannot be compared with.", first.Estimate())}
	}
	return outcome{value: v}
}

// stateOfHealth is (R_EoL − R)/(R_EoL − R_new), of the charge-transfer resistance: with the growth G = R/R_new and the
// limit L = R_EoL/R_new it is (L − G)/(L − 1).
func stateOfHealth(g grounds, s *specimen, i int) outcome {
	end, why := g.endOfLife()
	if why != "" {
		return outcome{reason: why}
	}
	growth := g.growth(s, i, job.ResistanceStateOfHealth, chargeTransfer)
	if growth.reason != "" {
		return growth
	}
	span := end - 1
	v, ok := finite((end-growth.value.Estimate())/span, growth.value.StandardUncertainty()/span)
	if !ok {
		return outcome{reason: fmt.Sprintf("A growth of %.3g leaves no state of health that can be stated.", growth.value.Estimate())}
	}
	return outcome{value: v, contributions: scaled(growth.contributions, growth.value.Estimate()/span)}
}

// endOfLife is the growth of the charge-transfer resistance at which the job's limits end a cell's life; the strictest where several do.
func (g grounds) endOfLife() (growth float64, why string) {
	growth = math.Inf(1)
	for _, l := range g.job.Limits {
		if l.Quantity == job.ChargeTransferGrowth && l.Side == job.Max {
			growth = min(growth, l.Bound)
		}
	}
	switch {
	case math.IsInf(growth, 1):
		return 0, "The job sets no upper limit of charge_transfer_growth, which the end of life is taken from."
	case growth <= 1:
		return 0, fmt.Sprintf("The limit %.3g of charge_transfer_growth is no growth, so it leaves no life to measure.", growth)
	}
	return growth, ""
}

// judgeable is the quantity of a measurement as a criterion wants it: where nothing later than the baseline has been
// measured, a growth of one would say nothing.
func (g grounds) judgeable(s *specimen, i int, q job.Quantity) outcome {
	o := measurands[q].had(g, s, i)
	if o.reason != "" {
		return o
	}
	resists := measurands[q].ratio || q == job.ResistanceStateOfHealth
	if resists && s.footing.Source == job.First && slices.Contains(s.footing.Measurements, i) {
		return outcome{reason: "Only the baseline itself has been measured: there is nothing later to compare with it."}
	}
	if _, first := s.firstCapacity(); q == job.CapacityRetention && !s.Measurements[i].Row.MeasuredAt.After(first) {
		return outcome{reason: "Only the first capacity itself is stated: there is nothing later to compare with it."}
	}
	return o
}
