package report

import (
	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/health"
	"ohmledger/health/job"
)

// measurementForm leaves out what the table of measurements leaves blank, but for the cycles.
type measurementForm struct {
	File                    string          `json:"file"`
	SHA256                  optional        `json:"sha256"`
	MeasuredAt              optional        `json:"measured_at"`
	TemperatureC            float64         `json:"temperature_c"`
	TemperatureUncertaintyC float64         `json:"temperature_uncertainty_c"`
	SOCPercent              *float64        `json:"soc_percent,omitzero"`
	Cycles                  *float64        `json:"cycles"`
	ThroughputAh            *float64        `json:"throughput_ah,omitzero"`
	CapacityAh              *float64        `json:"capacity_ah,omitzero"`
	Sensing                 optional        `json:"sensing,omitzero"`
	Control                 optional        `json:"control,omitzero"`
	AmplitudeA              *float64        `json:"amplitude_a,omitzero"`
	AmplitudeV              *float64        `json:"amplitude_v,omitzero"`
	RestMinutes             *float64        `json:"rest_minutes,omitzero"`
	OCVBeforeV              *float64        `json:"ocv_before_v,omitzero"`
	OCVAfterV               *float64        `json:"ocv_after_v,omitzero"`
	Instrument              optional        `json:"instrument,omitzero"`
	Fixture                 optional        `json:"fixture,omitzero"`
	Operator                optional        `json:"operator,omitzero"`
	Remarks                 optional        `json:"remarks,omitzero"`
	Accept                  optional        `json:"accept,omitzero"`
	Extra                   []extraForm     `json:"extra"`
	Quality                 qualityForm     `json:"quality"`
	Fit                     fitForm         `json:"fit"`
	ACResistance1kHz        fit.Value       `json:"ac_resistance_1khz_ohm"`
	AtReference             atReferenceForm `json:"at_reference_temperature"`
	Growth                  growthForm      `json:"growth"`
	CapacityRetention       *bareForm       `json:"capacity_retention"`
	ResistanceStateOfHealth fit.Value       `json:"resistance_state_of_health"`
	NotEvaluated            []missingForm   `json:"not_evaluated"`
}

func measurementOf(d *Document, c *health.Cell, i int) measurementForm {
	m := &c.Measurements[i]
	r := m.Row
	return measurementForm{
		File: r.File, SHA256: optional(m.SHA256), MeasuredAt: momentOf(r.MeasuredAt, r.HasTime),
		TemperatureC: r.TemperatureC, TemperatureUncertaintyC: r.TemperatureUncertaintyC,
		SOCPercent: r.SOCPercent, Cycles: r.Cycles, ThroughputAh: r.ThroughputAh, CapacityAh: r.CapacityAh,
		Sensing: optional(r.Sensing), Control: optional(r.Control), AmplitudeA: r.AmplitudeA, AmplitudeV: r.AmplitudeV,
		RestMinutes: r.RestMinutes, OCVBeforeV: r.OCVBeforeV, OCVAfterV: r.OCVAfterV,
		Instrument: optional(r.Instrument), Fixture: optional(r.Fixture), Operator: optional(r.Operator),
		Remarks: optional(r.Remarks), Accept: optional(r.Accept), Extra: extraOf(d.Assessment.Job.ExtraColumns, r.Extra),
		Quality: qualityOf(&m.Quality), Fit: fitOf(m),
		ACResistance1kHz: m.ACResistance1kHz, AtReference: atReferenceOf(m), Growth: growthOf(m),
		CapacityRetention: bare(m.CapacityRetention), ResistanceStateOfHealth: m.ResistanceStateOfHealth,
		NotEvaluated: missingOf(d, c, m),
	}
}

// extraForm is a field of a column that the measurement table holds beyond the known ones.
type extraForm struct {
	Column string `json:"column"`
	Value  string `json:"value"`
}

func extraOf(columns []string, fields map[string]string) []extraForm {
	out := []extraForm{}
	for _, column := range columns {
		if fields[column] != "" {
			out = append(out, extraForm{column, fields[column]})
		}
	}
	return out
}

type findingForm struct {
	Code     string   `json:"code"`
	Severity string   `json:"severity"`
	Touches  []string `json:"touches"`
	Message  string   `json:"message"`
	Advice   optional `json:"advice"`
}

func findingOf(f health.Finding) findingForm {
	touches := each(f.Touches, func(q job.Quantity) string { return string(q) })
	return findingForm{f.Code, f.Severity.String(), touches, f.Message, optional(f.Advice)}
}

type kramersKronigForm struct {
	RMSResidual   finite `json:"rms_residual"`
	MaxResidual   finite `json:"max_residual"`
	TimeConstants int    `json:"time_constants"`
	Mu            finite `json:"mu"`
	RunsZ         finite `json:"runs_z"`
	NoisePercent  finite `json:"noise_percent"`
}

func kramersKronigOf(k *kramerskronig.Result) *kramersKronigForm {
	if k == nil {
		return nil
	}
	return &kramersKronigForm{finite(k.RMSResidual), finite(k.MaxResidual), k.TimeConstants, finite(k.Mu), finite(k.RunsZ), finite(k.NoisePercent)}
}

type qualityForm struct {
	Accepted       bool               `json:"accepted"`
	AcceptedByHand optional           `json:"accepted_by_hand"`
	Findings       []findingForm      `json:"findings"`
	KramersKronig  *kramersKronigForm `json:"kramers_kronig"`
}

func qualityOf(q *health.Quality) qualityForm {
	return qualityForm{q.Accepted, optional(q.AcceptedByHand), each(q.Findings, findingOf), kramersKronigOf(q.KramersKronig)}
}

type atReferenceForm struct {
	Ohmic          fit.Value `json:"ohmic_ohm"`
	ChargeTransfer fit.Value `json:"charge_transfer_ohm"`
}

func atReferenceOf(m *health.Measurement) atReferenceForm {
	return atReferenceForm{m.OhmicAtReference, m.ChargeTransferAtReference}
}

// growthForm has no more than the growths: why there is none stands in not_evaluated, and what the uncertainty of one is made of
// with the criterion that rests on it.
type growthForm struct {
	Ohmic          fit.Value `json:"ohmic"`
	ChargeTransfer fit.Value `json:"charge_transfer"`
	Total          fit.Value `json:"total_resistance"`
}

func growthOf(m *health.Measurement) growthForm {
	return growthForm{m.OhmicGrowth.Ratio, m.ChargeTransferGrowth.Ratio, m.TotalGrowth.Ratio}
}
