package report

import (
	"math"

	"ohmledger/health"
	"ohmledger/health/job"
)

// gradingForm says why a cell has its grade, and what keeps it from the next better one; null where the job has no grades.
type gradingForm struct {
	Grade  optional        `json:"grade"`
	Reason optional        `json:"reason"`
	Better optional        `json:"better"`
	Missed []shortfallForm `json:"missed"`
}

// shortfallForm is a limit of the better grade that a cell misses, by so much in the unit of the quantity.
type shortfallForm struct {
	Quantity            string   `json:"quantity"`
	Value               finite   `json:"value"`
	ExpandedUncertainty finite   `json:"expanded_uncertainty"`
	Limit               float64  `json:"limit"`
	Side                string   `json:"side"`
	AcceptanceLimit     finite   `json:"acceptance_limit"`
	Verdict             string   `json:"verdict"`
	Reason              optional `json:"reason"`
	By                  finite   `json:"missed_by"`
}

func gradingOf(g *health.Grading) *gradingForm {
	if g == nil {
		return nil
	}
	return &gradingForm{optional(g.Grade), optional(g.Reason), optional(g.Better), each(g.Missed, func(s health.Shortfall) shortfallForm {
		return shortfallForm{string(s.Quantity), finite(s.Value.Estimate()), finite(s.ExpandedUncertainty), s.Limit, string(s.Side),
			finite(s.AcceptanceLimit), s.Verdict.String(), optional(s.Reason), finite(s.By)}
	})}
}

// summedForm is a quantity of a cell as its lot counts it.
type summedForm struct {
	Quantity string        `json:"quantity"`
	Value    *lotValueForm `json:"value"`
	Own      finite        `json:"own_standard_uncertainty"`
	Reason   optional      `json:"reason"`
}

func summedOf(d *Document) func(v health.QuantityValue) any {
	return func(v health.QuantityValue) any {
		own := v.Own
		if v.Quantity == job.CapacityAh || v.Quantity == job.CapacityRetention || !(own > 0) {
			own = math.NaN()
		}
		f := summedForm{Quantity: string(v.Quantity), Value: lotValueOf(v.Value), Own: finite(own)}
		switch {
		case v.Because.Code != "":
			f.Reason = optional(health.Phrase(d.Words.Phrase).Reason(v.Because))
		case math.IsNaN(own):
			f.Reason = optional(d.Words.missing("lot-unstated", nil))
		}
		return f
	}
}

// departureForm is how far a cell is from the reference cells in a growth. Uncertainties are of the logarithm.
type departureForm struct {
	Quantity    string   `json:"quantity"`
	Log         finite   `json:"log"`
	Measurement finite   `json:"measurement_standard_uncertainty"`
	Group       finite   `json:"group_standard_uncertainty"`
	GroupCells  int      `json:"group_cells"`
	Score       finite   `json:"score"`
	Critical    finite   `json:"critical_5_percent"`
	Departs     bool     `json:"departs"`
	Dominant    string   `json:"dominant"`
	Reason      optional `json:"reason"`
}

func departureOf(d health.Departure) any {
	return departureForm{string(d.Quantity), finite(d.Log), finite(d.Measurement), finite(d.Group), d.GroupCells, finite(d.Score), finite(d.Critical),
		d.Departs, d.Dominant, optional(d.Reason)}
}
