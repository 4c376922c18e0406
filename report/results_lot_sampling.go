package report

import (
	"math"

	"ohmledger/health"
	"ohmledger/health/sampling"
)

// inspectionForm is acceptance sampling. What only the other kind of plan has is null.
type inspectionForm struct {
	Kind          string               `json:"kind"`
	Standard      optional             `json:"standard"`
	Level         string               `json:"level"`
	Severity      string               `json:"severity"`
	LotSize       int                  `json:"lot_size"`
	AQL           float64              `json:"aql_percent"`
	Plan          *planForm            `json:"plan"`
	Inspected     int                  `json:"inspected"`
	Conforming    int                  `json:"conforming"`
	Nonconforming int                  `json:"nonconforming"`
	Doubtful      int                  `json:"doubtful"`
	UpperPercent  *float64             `json:"upper_percent_nonconforming_95"`
	Limits        []inspectedLimitForm `json:"limits"`
	Decision      string               `json:"decision"`
	Reason        optional             `json:"reason"`
	NotEvaluated  []missingForm        `json:"not_evaluated"`
}

// planForm is the plan of the tables with its operating characteristic.
type planForm struct {
	CodeLetter     string            `json:"code_letter"`
	PlanLetter     string            `json:"plan_letter"`
	SampleSize     int               `json:"sample_size"`
	Acceptance     *int              `json:"acceptance_number"`
	Rejection      *int              `json:"rejection_number"`
	Constant       *float64          `json:"acceptability_constant"`
	LargestPercent *float64          `json:"largest_percent"`
	Characteristic *characteristicOC `json:"operating_characteristic"`
	NotEvaluated   []missingForm     `json:"not_evaluated"`
}

// characteristicOC says how often the plan accepts lots, and both risks.
type characteristicOC struct {
	Law             string        `json:"law"`
	ProducersRisk   finite        `json:"producers_risk_at_aql"`
	LimitingPercent finite        `json:"percent_at_consumers_risk_10"`
	Qualities       []qualityAtOC `json:"qualities"`
}

type qualityAtOC struct {
	Percent    finite `json:"percent_nonconforming"`
	Acceptance finite `json:"acceptance"`
}

const byAttributes = "attributes"

func inspectionOf(w *Words, i *health.Inspection) *inspectionForm {
	if i == nil {
		return nil
	}
	miss := newGaps(w)
	f := &inspectionForm{Kind: i.Kind, Standard: optional(i.Standard), Level: i.Level, Severity: i.Severity, LotSize: i.LotSize, AQL: i.AQL,
		Inspected: i.Inspected, Conforming: i.Conforming, Nonconforming: i.Nonconforming, Doubtful: i.Doubtful,
		Limits:   each(i.Limits, func(l health.InspectedLimit) inspectedLimitForm { return inspectedLimitOf(w, &l) }),
		Decision: i.Decision.String(), Reason: optional(i.Reason)}
	if i.SampleSize > 0 {
		f.Plan = planOf(w, i)
	} else {
		miss.null("plan", "no-plan")
	}
	switch {
	case i.Kind != byAttributes:
		miss.null("upper_percent_nonconforming_95", "by-attributes-only")
	case i.UpperPercent > 0:
		f.UpperPercent = &i.UpperPercent
	default:
		miss.null("upper_percent_nonconforming_95", "no-sample")
	}
	f.NotEvaluated = miss.list
	return f
}

func planOf(w *Words, i *health.Inspection) *planForm {
	miss := newGaps(w)
	f := &planForm{CodeLetter: i.CodeLetter, PlanLetter: i.PlanLetter, SampleSize: i.SampleSize}
	if i.Kind == byAttributes {
		f.Acceptance, f.Rejection = &i.Acceptance, &i.Rejection
		miss.null("acceptability_constant", "by-variables-only")
		miss.null("largest_percent", "by-variables-only")
	} else {
		f.Constant, f.LargestPercent = &i.Constant, &i.LargestPercent
		miss.null("acceptance_number", "by-attributes-only")
		miss.null("rejection_number", "by-attributes-only")
	}
	if i.Law == "" {
		miss.null("operating_characteristic", "few-for-characteristic")
	} else {
		f.Characteristic = &characteristicOC{string(i.Law), finite(i.ProducersRisk), finite(i.LimitingPercent),
			each(i.Qualities, func(p sampling.OperatingPoint) qualityAtOC {
				return qualityAtOC{finite(p.PercentNonconforming), finite(p.Acceptance)}
			})}
	}
	f.NotEvaluated = miss.list
	return f
}

// inspectedLimitForm is a quantity of a sample held against its limits by mean and standard deviation, on its logarithm where
// it says so.
type inspectedLimitForm struct {
	Quantity     string        `json:"quantity"`
	Lower        finite        `json:"lower_limit"`
	Upper        finite        `json:"upper_limit"`
	Logarithmic  bool          `json:"logarithmic"`
	Mean         finite        `json:"mean"`
	SD           finite        `json:"standard_deviation"`
	IndexLower   finite        `json:"index_lower"`
	IndexUpper   finite        `json:"index_upper"`
	PercentLower finite        `json:"percent_lower"`
	PercentUpper finite        `json:"percent_upper"`
	Normality    normalityForm `json:"normality"`
	Decision     string        `json:"decision"`
	Reason       optional      `json:"reason"`
	NotEvaluated []missingForm `json:"not_evaluated"`
}

func inspectedLimitOf(w *Words, l *health.InspectedLimit) inspectedLimitForm {
	const open, unjudged = "no-limit-there", "not-judged"
	why := map[bool]string{true: open, false: unjudged} // by whether there is no limit
	below, above := why[math.IsNaN(l.Lower)], why[math.IsNaN(l.Upper)]
	miss := newGaps(w)
	f := inspectedLimitForm{Quantity: string(l.Quantity), Lower: miss.number("lower_limit", l.Lower, open), Upper: miss.number("upper_limit", l.Upper, open),
		Logarithmic: l.Logarithmic, Mean: miss.number("mean", l.Mean, unjudged), SD: miss.number("standard_deviation", l.SD, unjudged),
		IndexLower: miss.number("index_lower", l.IndexLower, below), IndexUpper: miss.number("index_upper", l.IndexUpper, above),
		PercentLower: miss.number("percent_lower", l.PercentLower, below), PercentUpper: miss.number("percent_upper", l.PercentUpper, above),
		Normality: normalityOf(w, l.Normality), Decision: l.Decision.String(), Reason: optional(l.Reason)}
	f.NotEvaluated = miss.list
	return f
}
