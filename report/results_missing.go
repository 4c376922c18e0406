package report

import (
	"cmp"
	"slices"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// missingForm says why a quantity of a measurement is null.
type missingForm struct {
	Quantity string `json:"quantity"`
	Reason   string `json:"reason"`
}

func missingOf(d *Document, c *health.Cell, m *health.Measurement) []missingForm {
	out := []missingForm{}
	for _, q := range job.Quantities {
		if q == job.CapacityAh || Measured(m, q).Known() {
			continue
		}
		out = append(out, missingForm{string(q), missingReason(d, c, m, q)})
	}
	return out
}

// MissingReasons are the reasons why a measurement has no value of one quantity or another, each once. That a
// cell's capacity was not measured that day is no matter of the measurement's and left out.
func MissingReasons(d *Document, c *health.Cell, m *health.Measurement) (reasons []string) {
	for _, missing := range missingOf(d, c, m) {
		if missing.Quantity == string(job.CapacityRetention) && m.Row.CapacityAh == nil {
			continue
		}
		said := func(other string) bool { return strings.Contains(other, missing.Reason) }
		if !slices.ContainsFunc(reasons, said) {
			reasons = slices.DeleteFunc(reasons, func(other string) bool { return strings.Contains(missing.Reason, other) })
			reasons = append(reasons, missing.Reason)
		}
	}
	return reasons
}

// Measured is a measurement's value of a quantity, in the quantity's unit and at the reference
// temperature where there is a correction. A capacity is the table's, which states no uncertainty: it
// has no value here.
func Measured(m *health.Measurement, q job.Quantity) fit.Value {
	switch q {
	case job.OhmicOhm:
		return m.OhmicAtReference
	case job.ChargeTransferOhm:
		return m.ChargeTransferAtReference
	case job.ACResistance1kHzOhm:
		return m.ACResistance1kHz
	case job.CapacityRetention:
		return m.CapacityRetention
	case job.ResistanceStateOfHealth:
		return m.ResistanceStateOfHealth
	case job.OhmicGrowth, job.ChargeTransferGrowth, job.TotalResistanceGrowth:
		return GrowthOf(m, q).Ratio
	}
	return fit.Value{}
}

// GrowthOf is a measurement's growth of a quantity that is a growth.
func GrowthOf(m *health.Measurement, q job.Quantity) health.Growth {
	switch q {
	case job.OhmicGrowth:
		return m.OhmicGrowth
	case job.ChargeTransferGrowth:
		return m.ChargeTransferGrowth
	case job.TotalResistanceGrowth:
		return m.TotalGrowth
	}
	panic("report: " + string(q) + " is no growth")
}

// IsGrowth reports whether a quantity is a resistance over its baseline, which is decided on its logarithm.
func IsGrowth(q job.Quantity) bool {
	return q == job.OhmicGrowth || q == job.ChargeTransferGrowth || q == job.TotalResistanceGrowth
}

// missingReason says why a measurement has no value of a quantity: what the judgement itself says,
// else what lies nearest before it.
func missingReason(d *Document, c *health.Cell, m *health.Measurement, q job.Quantity) string {
	if IsGrowth(q) && GrowthOf(m, q).Reason != "" {
		return GrowthOf(m, q).Reason
	}
	if reason := findingAgainst(m, q); reason != "" {
		return reason
	}
	if reason := unresolvedReason(d.Words, m, q); reason != "" {
		return reason
	}
	switch say := d.Words.missing; q {
	case job.ACResistance1kHzOhm:
		return say("points-at-1khz", nil)
	case job.CapacityRetention:
		if m.Row.CapacityAh == nil {
			return say("capacity", nil)
		}
		return say("first-capacity", nil)
	case job.ResistanceStateOfHealth:
		return say("end-of-life", nil)
	case job.OhmicOhm, job.ChargeTransferOhm:
		return say("correction", struct{ At, Note string }{d.Words.Notation().Stated(m.Row.TemperatureC, notation.Celsius.Scale()), d.Assessment.Temperature.Note})
	}
	return cmp.Or(c.Baseline.Note, d.Words.missing("baseline", nil))
}

// findingAgainst is the message of what made a quantity not comparable, or the measurement useless.
func findingAgainst(m *health.Measurement, q job.Quantity) string {
	for _, f := range m.Quality.Findings {
		if slices.Contains(f.Touches, q) || f.Severity == health.Reject && !m.Quality.Accepted && q != job.CapacityRetention {
			return f.Message
		}
	}
	return ""
}

// unresolvedReason is what the fit says about the resistance that a quantity is made of.
func unresolvedReason(w *Words, m *health.Measurement, q job.Quantity) string {
	element, ok := map[job.Quantity]fit.Element{
		job.OhmicOhm: fit.Ohmic, job.OhmicGrowth: fit.Ohmic,
		job.ChargeTransferOhm: fit.ChargeTransfer, job.ChargeTransferGrowth: fit.ChargeTransfer, job.ResistanceStateOfHealth: fit.ChargeTransfer,
	}[q]
	switch {
	case !ok:
		return ""
	case m.Fit == nil:
		return w.missing("fit", nil)
	case m.Fit.Unresolved[element] != "":
		return m.Fit.Unresolved[element]
	case m.Fit.Status != fit.Converged:
		return w.missing("converged-fit", w.FitStatus(m.Fit.Status))
	}
	return ""
}
