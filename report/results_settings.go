package report

import (
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// writeSettings writes what is in force after defaults are filled in, under job.yaml's own keys.
func writeSettings(out *layout, j *job.Job) {
	out.key("settings")
	out.open("{")
	out.member("defaulted", listed(j.Defaulted))
	out.member("cell", cellTypeOf(j.Cell))
	out.member("conditions", conditionsOf(j.Conditions))
	out.member("instrument", instrumentOf(j.Instrument))
	out.member("baseline", baselineSettingOf(j.Baseline))
	out.member("temperature_correction", correctionOf(j.TemperatureCorrection))
	out.member("limits", each(j.Limits, limitOf))
	out.member("decision_rule", ruleForm{string(j.DecisionRule.Kind), j.DecisionRule.CoverageFactor})
	out.member("grades", each(j.Grades, gradeOf))
	out.member("group_by", optional(j.GroupBy))
	out.member("sampling", samplingOf(j.Sampling))
	out.member("grouping", groupingOf(j.Grouping))
	out.member("fixture_correction", fixtureOf(j.FixtureCorrection))
	out.member("wording", optional(j.Wording))
	out.member("language", j.Language)
	out.member("columns", columnsOf(j.Columns))
	out.close("}")
}

type cellTypeForm struct {
	Maker                    optional `json:"maker"`
	Model                    optional `json:"model"`
	Chemistry                optional `json:"chemistry"`
	Format                   optional `json:"format"`
	NominalCapacityAh        nonzero  `json:"nominal_capacity_ah"`
	NominalVoltageV          nonzero  `json:"nominal_voltage_v"`
	RatedACResistance1kHzOhm nonzero  `json:"rated_ac_resistance_1khz_ohm"`
}

func cellTypeOf(c job.CellType) cellTypeForm {
	return cellTypeForm{
		optional(c.Maker), optional(c.Model), optional(c.Chemistry), optional(c.Format),
		nonzero(c.NominalCapacityAh), nonzero(c.NominalVoltageV), nonzero(c.RatedACResistance1kHzOhm),
	}
}

type conditionsForm struct {
	ReferenceTemperatureC   float64    `json:"reference_temperature_c"`
	TemperatureRangeC       [2]float64 `json:"temperature_range_c"`
	TemperatureUncertaintyC float64    `json:"temperature_uncertainty_c"`
	SOCPercent              *float64   `json:"soc_percent"`
	SOCTolerancePercent     float64    `json:"soc_tolerance_percent"`
	MinRestMinutes          float64    `json:"min_rest_minutes"`
}

func conditionsOf(c job.Conditions) conditionsForm {
	return conditionsForm{
		c.ReferenceTemperatureC, [2]float64{c.TemperatureMinC, c.TemperatureMaxC}, c.TemperatureUncertaintyC,
		c.SOCPercent, c.SOCTolerancePercent, c.MinRestMinutes,
	}
}

type instrumentForm struct {
	Name                   optional `json:"name"`
	CalibrationDue         optional `json:"calibration_due"`
	RelativeUncertainty    float64  `json:"relative_uncertainty"`
	AbsoluteUncertaintyOhm float64  `json:"absolute_uncertainty_ohm"`
}

func instrumentOf(i job.Instrument) instrumentForm {
	return instrumentForm{optional(i.Name), dayOf(i.CalibrationDue), i.RelativeUncertainty, i.AbsoluteUncertaintyOhm}
}

// statedForm is a value that the user declares: Q of the contract.
type statedForm struct {
	Value               float64 `json:"value"`
	StandardUncertainty float64 `json:"standard_uncertainty"`
}

func statedOf(s *job.Stated) *statedForm { return (*statedForm)(s) }

type baselineSettingForm struct {
	Source   string       `json:"source"`
	Cells    []string     `json:"cells"`
	Declared declaredForm `json:"declared"`
}

type declaredForm struct {
	Ohmic          *statedForm `json:"ohmic_ohm"`
	ChargeTransfer *statedForm `json:"charge_transfer_ohm"`
}

func baselineSettingOf(b job.Baseline) baselineSettingForm {
	return baselineSettingForm{string(b.Source), listed(b.Cells), declaredForm{statedOf(b.Ohmic), statedOf(b.ChargeTransfer)}}
}

type correctionForm struct {
	Source         string      `json:"source"`
	Ohmic          *energyForm `json:"ohmic"`
	ChargeTransfer *energyForm `json:"charge_transfer"`
}

type energyForm struct {
	ActivationEnergy    float64 `json:"activation_energy_kj_per_mol"`
	StandardUncertainty float64 `json:"standard_uncertainty"`
}

func correctionOf(c job.TemperatureCorrection) correctionForm {
	return correctionForm{string(c.Source), energyOf(c.Ohmic), energyOf(c.ChargeTransfer)}
}

func energyOf(s *job.Stated) *energyForm {
	if s == nil {
		return nil
	}
	return &energyForm{s.Value, s.StandardUncertainty}
}

type limitForm struct {
	Quantity string   `json:"quantity"`
	Max      *float64 `json:"max,omitempty"`
	Min      *float64 `json:"min,omitempty"`
}

func limitOf(l job.Limit) limitForm {
	form := limitForm{Quantity: string(l.Quantity)}
	if l.Side == job.Min {
		form.Min = &l.Bound
	} else {
		form.Max = &l.Bound
	}
	return form
}

type ruleForm struct {
	Kind           string  `json:"kind"`
	CoverageFactor float64 `json:"coverage_factor"`
}

type gradeForm struct {
	Name   string      `json:"name"`
	Limits []limitForm `json:"limits"`
}

func gradeOf(g job.Grade) gradeForm { return gradeForm{g.Name, each(g.Limits, limitOf)} }

type samplingForm struct {
	Standard string  `json:"standard"`
	LotSize  int     `json:"lot_size"`
	AQL      float64 `json:"aql"`
	Level    string  `json:"level"`
	Severity string  `json:"severity"`
}

func samplingOf(s *job.Sampling) *samplingForm { return (*samplingForm)(s) }

type groupingForm struct {
	Size        int      `json:"size"`
	Arrangement string   `json:"arrangement"`
	By          []string `json:"by"`
	WithinGrade bool     `json:"within_grade"`
}

func groupingOf(g *job.Grouping) *groupingForm {
	if g == nil {
		return nil
	}
	by := each(g.By, func(q job.Quantity) string { return string(q) })
	return &groupingForm{g.Size, g.Arrangement, by, g.WithinGrade}
}

type fixtureForm struct {
	File       optional    `json:"file"`
	Resistance *statedForm `json:"resistance_ohm"`
	Inductance *statedForm `json:"inductance_h"`
}

func fixtureOf(f *job.FixtureCorrection) *fixtureForm {
	if f == nil {
		return nil
	}
	return &fixtureForm{optional(f.File), statedOf(f.Resistance), statedOf(f.InductanceH)}
}

type columnsForm struct {
	Frequency     optional `json:"frequency"`
	Real          optional `json:"real"`
	Imaginary     optional `json:"imaginary"`
	Magnitude     optional `json:"magnitude"`
	Phase         optional `json:"phase"`
	Unit          optional `json:"unit"`
	ImaginarySign optional `json:"imaginary_sign"`
}

func columnsOf(c spectrum.Columns) columnsForm {
	return columnsForm{
		optional(c.Frequency), optional(c.Real), optional(c.Imaginary), optional(c.Magnitude), optional(c.Phase), optional(c.Unit), optional(c.ImaginarySign),
	}
}
