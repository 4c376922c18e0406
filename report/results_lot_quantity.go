package report

import (
	"math"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
)

// lotQuantityForm is how one quantity spreads over a lot. Numbers are in the quantity's unit where nothing else is said.
type lotQuantityForm struct {
	Quantity     string             `json:"quantity"`
	Missing      int                `json:"missing"`
	Summary      summaryForm        `json:"summary"`
	Limits       []lotLimitForm     `json:"limits"`
	Histogram    histogramForm      `json:"histogram"`
	Distribution []distributionForm `json:"distributions"`
	Adopted      optional           `json:"adopted"`
	Plot         []plotPointForm    `json:"probability_plot"`
	Logarithmic  bool               `json:"logarithmic"`
	Outliers     outliersForm       `json:"outliers"`
	Separation   *separationForm    `json:"separation"`
	Between      *betweenForm       `json:"between_groups"`
	NotEvaluated []missingForm      `json:"not_evaluated"`
}

func lotQuantityOf(w *Words, q *health.LotQuantity) lotQuantityForm {
	miss := newGaps(w)
	f := lotQuantityForm{
		Quantity: string(q.Quantity), Missing: q.Missing, Summary: *summaryOf(w, &q.Summary), Limits: lotLimitsOf(w, q),
		Histogram:    histogramForm{listed(q.Histogram.Edges), listed(q.Histogram.Counts)},
		Distribution: each(q.Fits, func(d health.DistributionFit) distributionForm { return distributionOf(w, &d) }),
		Plot:         []plotPointForm{}, Logarithmic: q.Logarithmic,
		Outliers: outliersOf(w, &q.Outliers), Separation: separationOf(q.Separation), Between: betweenOf(w, q.Between),
	}
	if q.Adopted >= 0 {
		f.Adopted = optional(q.Fits[q.Adopted].Law)
	} else {
		miss.null("adopted", "no-law")
	}
	if len(q.Fits) > 0 { // one plot serves both laws: they differ in the scale of its values
		f.Plot = each(q.Fits[0].Plot, plotPointOf)
	}
	if f.Separation == nil {
		miss.null("separation", "few-to-part")
	}
	if f.Between == nil {
		miss.null("between_groups", "undivided")
	}
	f.NotEvaluated = miss.list
	return f
}

// summaryForm describes values. Intervals are of 95 %; each end of mean_bounds_95 by itself is a one-sided limit.
type summaryForm struct {
	Count               int            `json:"count"`
	Mean                float64        `json:"mean"`
	Median              float64        `json:"median"`
	StandardDeviation   finite         `json:"standard_deviation"`
	RobustSpread        float64        `json:"robust_spread"`
	Least               float64        `json:"least"`
	Most                float64        `json:"most"`
	Quantiles           []quantileForm `json:"quantiles"`
	Mean95              *intervalForm  `json:"mean_interval_95"`
	MeanBounds95        *intervalForm  `json:"mean_bounds_95"`
	Median95            *intervalForm  `json:"median_interval_95"`
	StandardDeviation95 *intervalForm  `json:"standard_deviation_interval_95"`
	RangeConfidence     float64        `json:"range_confidence"`
	NotEvaluated        []missingForm  `json:"not_evaluated"`
}

type quantileForm struct {
	P     float64 `json:"p"`
	Value float64 `json:"value"`
}

func summaryOf(w *Words, s *health.LotSummary) *summaryForm {
	const one = "one-value"
	miss := newGaps(w)
	f := &summaryForm{
		Count: s.Count, Mean: s.Mean, Median: s.Median, StandardDeviation: miss.number("standard_deviation", s.StandardDeviation, one),
		RobustSpread: s.RobustSpread, Least: s.Least, Most: s.Most,
		Quantiles:           each(s.Quantiles, func(q health.Quantile) quantileForm { return quantileForm(q) }),
		Mean95:              miss.interval("mean_interval_95", s.MeanInterval, one),
		MeanBounds95:        miss.interval("mean_bounds_95", s.MeanBounds, one),
		Median95:            miss.interval("median_interval_95", s.MedianInterval, "few-for-median"),
		StandardDeviation95: miss.interval("standard_deviation_interval_95", s.StandardDeviationInterval, one), RangeConfidence: s.RangeConfidence,
	}
	f.NotEvaluated = miss.list
	return f
}

type histogramForm struct {
	Edges  []float64 `json:"edges"`
	Counts []int     `json:"counts"`
}

// lotLimitForm is a limit of the job with what the lot does at it.
type lotLimitForm struct {
	limitForm
	Beyond       int           `json:"cells_beyond"`
	Risks        *risksForm    `json:"risks"`
	NotEvaluated []missingForm `json:"not_evaluated"`
}

// risksForm are fractions of all cells (JCGM 106:2012, 9.5).
type risksForm struct {
	Nonconforming float64 `json:"nonconforming"`
	Consumers     float64 `json:"consumers_risk"`
	Producers     float64 `json:"producers_risk"`
}

func lotLimitsOf(w *Words, q *health.LotQuantity) []lotLimitForm {
	list := make([]lotLimitForm, len(q.Limits))
	for i, l := range q.Limits {
		miss := newGaps(w)
		list[i] = lotLimitForm{limitForm: limitOf(l), Beyond: q.BeyondLimits[i], Risks: risksOf(q.Risks, l)}
		if list[i].Risks == nil {
			miss.null("risks", q.NoRisks[i])
		}
		list[i].NotEvaluated = miss.list
	}
	return list
}

func risksOf(risks []health.GlobalRisk, of job.Limit) *risksForm {
	for _, r := range risks {
		if r.Limit == of {
			return &risksForm{r.Nonconforming, r.Consumers, r.Producers}
		}
	}
	return nil
}

// separationForm parts what cells differ by from what measuring adds; relative where it says so.
type separationForm struct {
	Relative    bool         `json:"relative"`
	Cells       int          `json:"cells"`
	Observed    finite       `json:"observed"`
	Measurement finite       `json:"measurement"`
	Own         finite       `json:"own"`
	Own95       intervalForm `json:"own_interval_95"`
	Share       finite       `json:"measurement_share"`
	Common      finite       `json:"common"`
	Reason      optional     `json:"reason"`
}

func separationOf(s *health.SpreadSeparation) *separationForm {
	if s == nil {
		return nil
	}
	return &separationForm{s.Logarithmic, s.Cells, finite(s.Observed), finite(s.Measurement), finite(s.Own),
		intervalForm{finite(s.OwnInterval.Lower), finite(s.OwnInterval.Upper)}, finite(s.Share), finite(s.Common), optional(s.Reason)}
}

// betweenForm is a one-way analysis of variance.
type betweenForm struct {
	F            finite        `json:"f"`
	Numerator    float64       `json:"numerator_freedom"`
	Error        float64       `json:"error_freedom"`
	P            finite        `json:"p"`
	Spread       float64       `json:"spread"`
	Within       float64       `json:"within"`
	NotEvaluated []missingForm `json:"not_evaluated"`
}

func betweenOf(w *Words, b *health.BetweenGroups) *betweenForm {
	if b == nil {
		return nil
	}
	const why = "nothing-within"
	miss := newGaps(w)
	f := &betweenForm{F: miss.number("f", b.F, why), Numerator: b.NumeratorFreedom, Error: b.ErrorFreedom, P: miss.number("p", b.P, why), Spread: b.Spread, Within: b.Within}
	f.NotEvaluated = miss.list
	return f
}

type plotPointForm struct {
	Normal finite `json:"normal"`
	Value  finite `json:"value"`
}

func plotPointOf(p statistics.ProbabilityPoint) plotPointForm {
	return plotPointForm{finite(p.Normal), finite(p.Value)}
}

// outliersForm are the cells that the tests mark.
type outliersForm struct {
	Level        float64       `json:"level"`
	Sought       int           `json:"sought"`
	Limit        finite        `json:"modified_z_limit"`
	Cells        []outlierForm `json:"cells"`
	NotEvaluated []missingForm `json:"not_evaluated"`
}

type outlierForm struct {
	Cell          string         `json:"cell"`
	Group         optional       `json:"group"`
	Verdict       string         `json:"verdict"`
	Value         *lotValueForm  `json:"value"`
	ByDeviate     bool           `json:"by_deviate"`
	Deviate       finite         `json:"deviate"`
	DeviateLimit  finite         `json:"deviate_limit"`
	ModifiedZ     finite         `json:"modified_z"`
	Uncertainties finite         `json:"own_uncertainties"`
	Others        []standingForm `json:"others"`
	Findings      []string       `json:"findings"`
	NotEvaluated  []missingForm  `json:"not_evaluated"`
}

// standingForm is where a cell stands in another quantity.
type standingForm struct {
	Quantity  string `json:"quantity"`
	ModifiedZ finite `json:"modified_z"`
}

func outliersOf(w *Words, o *health.Outliers) outliersForm {
	miss := newGaps(w)
	limit := o.ModifiedZLimit
	if limit == 0 {
		limit = math.NaN()
	}
	f := outliersForm{Level: o.Level, Sought: o.Sought, Limit: miss.number("modified_z_limit", limit, "no-robust-spread"),
		Cells: each(o.Cells, func(c health.Outlier) outlierForm { return outlierOf(w, &c) })}
	f.NotEvaluated = miss.list
	return f
}

func outlierOf(w *Words, o *health.Outlier) outlierForm {
	const untested = "not-tested"
	miss := newGaps(w)
	f := outlierForm{Cell: o.Cell, Group: optional(o.Group), Verdict: o.Verdict.String(), Value: lotValueOf(o.Value), ByDeviate: o.ByDeviate,
		Deviate: miss.number("deviate", o.Deviate, untested), DeviateLimit: miss.number("deviate_limit", o.DeviateLimit, untested),
		ModifiedZ:     miss.number("modified_z", o.ModifiedZ, "no-robust-spread"),
		Uncertainties: miss.number("own_uncertainties", o.Uncertainties, "unstated"), Findings: listed(o.Findings), Others: []standingForm{}}
	for _, other := range o.Others {
		if isFinite(other.ModifiedZ) {
			f.Others = append(f.Others, standingForm{string(other.Quantity), finite(other.ModifiedZ)})
		}
	}
	f.NotEvaluated = miss.list
	return f
}
