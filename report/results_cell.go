package report

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

type modelForm struct {
	Arcs   *int     `json:"arcs"`
	Choice optional `json:"choice"`
}

func modelOf(c *health.Cell) modelForm {
	m := modelForm{Choice: optional(c.ArcsChoice)}
	if c.Arcs > 0 {
		m.Arcs = &c.Arcs
	}
	return m
}

type baselineForm struct {
	Source                  string    `json:"source"`
	Ohmic                   fit.Value `json:"ohmic_ohm"`
	ChargeTransfer          fit.Value `json:"charge_transfer_ohm"`
	AllArcs                 fit.Value `json:"all_arcs_ohm"`
	ACResistance1kHz        fit.Value `json:"ac_resistance_1khz_ohm"`
	CapacityAh              *bareForm `json:"capacity_ah"`
	TemperatureC            *float64  `json:"temperature_c"`
	TemperatureUncertaintyC *float64  `json:"temperature_uncertainty_c"`
	SOCPercent              *float64  `json:"soc_percent"`
	MeasuredAt              optional  `json:"measured_at"`
	Measurements            []int     `json:"measurements"`
	Cells                   []string  `json:"cells"`
	Note                    optional  `json:"note"`
}

func baselineOf(c *health.Cell) baselineForm {
	b := &c.Baseline
	form := baselineForm{
		Source: string(b.Source),
		Ohmic:  b.Ohmic, ChargeTransfer: b.ChargeTransfer, AllArcs: b.Polarisation,
		ACResistance1kHz: b.ACResistance1kHz, CapacityAh: bare(b.CapacityAh),
		SOCPercent: b.SOCPercent, MeasuredAt: dayOf(b.MeasuredAt),
		Measurements: listed(b.Measurements), Cells: listed(b.Cells), Note: optional(b.Note),
	}
	if b.Ohmic.Known() || b.ChargeTransfer.Known() { // else there is nothing that the temperature belongs to
		form.TemperatureC, form.TemperatureUncertaintyC = &b.TemperatureC, &b.TemperatureUncertaintyC
	}
	return form
}

type intervalForm struct {
	Lower finite `json:"lower"`
	Upper finite `json:"upper"`
}

type contributionForm struct {
	Source              string `json:"source"`
	StandardUncertainty finite `json:"standard_uncertainty"`
	Share               finite `json:"share"`
}

func contributionOf(c health.Contribution) contributionForm {
	return contributionForm{c.Source, finite(c.U), finite(c.Share)}
}

type criterionForm struct {
	Quantity                string             `json:"quantity"`
	Value                   finite             `json:"value"`
	StandardUncertainty     finite             `json:"standard_uncertainty"`
	ExpandedUncertainty     finite             `json:"expanded_uncertainty"`
	CoverageFactor          float64            `json:"coverage_factor"`
	CoverageInterval        intervalForm       `json:"coverage_interval"`
	Limit                   float64            `json:"limit"`
	Side                    string             `json:"side"`
	AcceptanceLimit         finite             `json:"acceptance_limit"`
	Verdict                 string             `json:"verdict"`
	Reason                  optional           `json:"reason"`
	ProbabilityOfConformity finite             `json:"probability_of_conformity"`
	Contributions           []contributionForm `json:"contributions"`
}

func criterionOf(j *job.Job, c health.Criterion) criterionForm {
	u := c.Value.StandardUncertainty()
	if c.Unstated {
		u = math.NaN()
	}
	return criterionForm{
		Quantity: string(c.Quantity),
		Value:    finite(c.Value.Estimate()), StandardUncertainty: finite(u),
		ExpandedUncertainty: finite(c.ExpandedUncertainty), CoverageFactor: j.DecisionRule.CoverageFactor,
		CoverageInterval: intervalForm{finite(c.Lower), finite(c.Upper)},
		Limit:            c.Limit, Side: string(c.Side), AcceptanceLimit: finite(c.AcceptanceLimit),
		Verdict: c.Verdict.String(), Reason: optional(c.Reason),
		ProbabilityOfConformity: finite(c.ProbabilityOfConformity),
		Contributions:           each(c.Contributions, contributionOf),
	}
}

// crossingForm has two intervals: of this cell's points against one another, and with what is off in all of them alike.
type crossingForm struct {
	Value             finite `json:"value"`
	Lower95           finite `json:"lower_95"`
	Upper95           finite `json:"upper_95"`
	Lower95WithShared finite `json:"lower_95_with_shared"`
	Upper95WithShared finite `json:"upper_95_with_shared"`
}

func crossingOf(c *health.Crossing) *crossingForm {
	return &crossingForm{finite(c.Value), finite(c.Lower95), finite(c.Upper95), finite(c.WithShared.Lower), finite(c.WithShared.Upper)}
}

type trendForm struct {
	Quantity string        `json:"quantity"`
	Against  string        `json:"against"`
	Law      optional      `json:"law"`
	Rate     fit.Value     `json:"rate"`
	Crosses  *crossingForm `json:"crosses_limit_at"`
	Reason   optional      `json:"reason"`
}

func trendOf(t health.Trend) any {
	form := trendForm{Quantity: string(t.Quantity), Against: t.Against, Law: optional(t.Law), Rate: t.Rate, Reason: optional(t.Reason)}
	if c := t.Crosses; c != nil {
		form.Crosses = crossingOf(c)
	}
	return form
}

type temperatureForm struct {
	Source         string       `json:"source"`
	Ohmic          fit.Value    `json:"ohmic_kj_per_mol"`
	ChargeTransfer fit.Value    `json:"charge_transfer_kj_per_mol"`
	Note           optional     `json:"note"`
	Series         []seriesForm `json:"series"`
}

// seriesForm is a regression of ln R on 1/T.
type seriesForm struct {
	Cell             string            `json:"cell"`
	Quantity         string            `json:"quantity"`
	ActivationEnergy fit.Value         `json:"activation_energy_kj_per_mol"`
	RMSResidual      finite            `json:"rms_residual"`
	Reason           optional          `json:"reason"`
	Points           []seriesPointForm `json:"points"`
}

type seriesPointForm struct {
	Measurement            int     `json:"measurement"`
	TemperatureC           float64 `json:"temperature_c"`
	ResistanceOhm          float64 `json:"resistance_ohm"`
	LogStandardUncertainty finite  `json:"log_standard_uncertainty"`
	LogResidual            finite  `json:"log_residual"`
}

func temperatureOf(t health.Temperature) temperatureForm {
	return temperatureForm{string(t.Source), t.Ohmic, t.ChargeTransfer, optional(t.Note), each(t.Series, seriesOf)}
}

func seriesOf(s health.ArrheniusSeries) seriesForm {
	return seriesForm{s.Cell, elementName(s.Element), s.ActivationEnergy, finite(s.RMSResidual), optional(s.Reason),
		each(s.Points, func(p health.ArrheniusPoint) seriesPointForm {
			return seriesPointForm{p.MeasurementOfCell, p.TemperatureC, p.ResistanceOhm, finite(p.LogU), finite(p.LogResidual)}
		})}
}

// elementName is the name under which results.json holds a resistance.
func elementName(e fit.Element) string {
	return [...]string{fit.Ohmic: "ohmic_ohm", fit.Film: "film_ohm", fit.ChargeTransfer: "charge_transfer_ohm", fit.Polarisation: "all_arcs_ohm"}[e]
}
