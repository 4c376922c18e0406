package job

import "ohmledger/fit/spectrum"

const (
	celsius      = "in degrees Celsius"
	absoluteZero = -273.15 // °C (SI Brochure, 9th edition, 2.3.1)
	hottest      = 200     // °C; cells burn before (common practice), so that a larger number is a slip, or in kelvins
)

var conditionsKeys = record[Conditions]{
	{name: "reference_temperature_c", meaning: "Temperature that resistances are stated at, in degrees Celsius.", fallback: "25",
		form: asNumber(func(c *Conditions) *float64 { return &c.ReferenceTemperatureC }, number{absoluteZero, hottest, true, celsius, nil})},
	{name: "temperature_range_c", meaning: "Lowest and highest cell temperature that may be judged, in degrees Celsius.", fallback: "[15, 35]",
		form: temperatureRange{}},
	{name: "temperature_uncertainty_c", meaning: "Standard uncertainty of the cell temperature where the table states none, in degrees Celsius.", fallback: "0.5",
		form: asNumber(func(c *Conditions) *float64 { return &c.TemperatureUncertaintyC }, number{0, 50, false, celsius, nil})},
	{name: "soc_percent", meaning: "State of charge at which cells are to be measured, in percent.",
		form: part(func(c *Conditions) **float64 { return &c.SOCPercent }, optional[float64]{number{0, 100, false, "in percent", nil}})},
	{name: "soc_tolerance_percent", meaning: "How far the state of charge may be off, in percent of full charge.", fallback: "5",
		form: asNumber(func(c *Conditions) *float64 { return &c.SOCTolerancePercent }, number{0, 100, false, "in percent", nil})},
	{name: "min_rest_minutes", meaning: "Shortest rest before a measurement, in minutes.", fallback: "30",
		form: asNumber(func(c *Conditions) *float64 { return &c.MinRestMinutes }, number{0, 100_000, false, "in minutes", nil})},
}

var baselineKeys = record[Baseline]{
	{name: "source", meaning: "first: each cell's own first day; reference-cells: the cells listed below; declared: the values below.", fallback: "first",
		form: part(func(b *Baseline) *BaselineSource { return &b.Source }, choice[BaselineSource]{[]BaselineSource{First, ReferenceCells, Declared}})},
	{name: "cells", meaning: "Reference cells, as they are named in the table.",
		form: part(func(b *Baseline) *[]string { return &b.Cells }, form[[]string](several[string]{item: text{}, unique: true}))},
	{name: "declared", meaning: "Baseline values from a data sheet or an earlier report, at the reference temperature.",
		form: record[Baseline]{
			{name: "ohmic_ohm", meaning: "Ohmic resistance in ohms.",
				form: part(func(b *Baseline) **Stated { return &b.Ohmic }, stated(number{0, 1e6, true, "in ohms", nil}))},
			{name: "charge_transfer_ohm", meaning: "Charge-transfer resistance in ohms.",
				form: part(func(b *Baseline) **Stated { return &b.ChargeTransfer }, stated(number{0, 1e6, true, "in ohms", nil}))},
		}},
}

var correctionKeys = record[TemperatureCorrection]{
	{name: "source", meaning: "declared: the activation energies below; measured: from a temperature series in this job; none: no correction.", fallback: "none",
		form: part(func(t *TemperatureCorrection) *CorrectionSource { return &t.Source },
			choice[CorrectionSource]{[]CorrectionSource{CorrectionDeclared, CorrectionMeasured, CorrectionNone}})},
	{name: "ohmic", meaning: "Activation energy of the ohmic resistance.",
		form: part(func(t *TemperatureCorrection) **Stated { return &t.Ohmic }, activationEnergy)},
	{name: "charge_transfer", meaning: "Activation energy of the charge-transfer resistance.",
		form: part(func(t *TemperatureCorrection) **Stated { return &t.ChargeTransfer }, activationEnergy)},
}

// stated is a value with its standard uncertainty; both or neither.
func stated(value number) form[*Stated] { return statedAs("value", "The value.", value) }

// Activation energies of cell resistances lie at 2 to 80 kJ/mol (common practice); more than 300 is no such process.
var activationEnergy = statedAs("activation_energy_kj_per_mol", "Activation energy in kilojoules per mole.",
	number{-50, 300, false, "in kilojoules per mole", nil})

func statedAs(name, meaning string, value number) form[*Stated] {
	uncertainty := number{0, value.most, true, value.unit, nil}
	return optional[Stated]{record[Stated]{
		{name: name, meaning: meaning, needed: true, form: part(func(s *Stated) *float64 { return &s.Value }, value)},
		{name: "standard_uncertainty", meaning: "Its standard uncertainty, in the same unit; no value is known without.", needed: true,
			form: part(func(s *Stated) *float64 { return &s.StandardUncertainty }, uncertainty)},
	}}
}

var decisionKeys = record[DecisionRule]{
	{name: "kind", meaning: "simple: the value meets the limit; guarded: it meets it by the expanded uncertainty; four-way: pass and fail, each also conditional.", fallback: "guarded",
		form: part(func(d *DecisionRule) *DecisionRuleKind { return &d.Kind }, choice[DecisionRuleKind]{[]DecisionRuleKind{Simple, Guarded, FourWay}})},
	{name: "coverage_factor", meaning: "Expanded uncertainty over standard uncertainty; 2 covers about 95 %.", fallback: "2",
		form: asNumber(func(d *DecisionRule) *float64 { return &d.CoverageFactor }, number{1, 10, false, "as a factor", nil})},
}

// preferredAQL are the acceptable quality levels in percent for which sampling plans exist
// (MIL-STD-105E, Table II-A up to 10 % nonconforming; MIL-STD-414, Table B-1, adds 15).
var preferredAQL = []float64{0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10, 15}

var samplingKeys = record[Sampling]{
	{name: "standard", meaning: "attributes: count the nonconforming cells; variables: mean and spread.", needed: true,
		form: part(func(s *Sampling) *string { return &s.Standard }, choice[string]{[]string{"attributes", "variables"}})},
	{name: "lot_size", meaning: "Number of cells in the delivery.", needed: true,
		form: part(func(s *Sampling) *int { return &s.LotSize }, form[int](whole{2, 100_000_000, "cells"}))},
	{name: "aql", meaning: "Acceptable quality level: percent nonconforming.", needed: true,
		form: asNumber(func(s *Sampling) *float64 { return &s.AQL }, number{unit: "in percent", series: preferredAQL})},
	{name: "level", meaning: "Inspection level; II for attributes and IV for variables where nothing else is agreed.",
		form: part(func(s *Sampling) *string { return &s.Level }, choice[string]{[]string{"S-1", "S-2", "S-3", "S-4", "I", "II", "III", "IV", "V"}})},
	{name: "severity", meaning: "Severity of inspection.", fallback: "normal",
		form: part(func(s *Sampling) *string { return &s.Severity }, choice[string]{[]string{"normal", "tightened", "reduced"}})},
}

var groupingKeys = record[Grouping]{
	{name: "size", meaning: "Cells in a group.", needed: true, form: part(func(g *Grouping) *int { return &g.Size }, form[int](whole{2, 100_000, "cells"}))},
	{name: "arrangement", meaning: "How the cells of a group are connected.", fallback: "series",
		form: part(func(g *Grouping) *string { return &g.Arrangement }, choice[string]{[]string{"series", "parallel"}})},
	{name: "by", meaning: "Quantities in which the cells of a group are to be alike, the most important first.", needed: true,
		form: part(func(g *Grouping) *[]Quantity { return &g.By }, form[[]Quantity](several[Quantity]{item: choice[Quantity]{Quantities}, unique: true}))},
	{name: "within_grade", meaning: "true: only cells of the same grade form a group.", fallback: "true",
		form: part(func(g *Grouping) *bool { return &g.WithinGrade }, form[bool](truth{}))},
}

var fixtureKeys = record[FixtureCorrection]{
	{name: "file", meaning: "Spectrum of the shorted fixture, a file of the job.",
		form: asPath(func(f *FixtureCorrection) *string { return &f.File }, aFile)},
	{name: "resistance_ohm", meaning: "Resistance of leads and clips in ohms.",
		form: part(func(f *FixtureCorrection) **Stated { return &f.Resistance }, stated(number{0, 1000, false, "in ohms", nil}))},
	{name: "inductance_h", meaning: "Inductance of the leads in henries.",
		form: part(func(f *FixtureCorrection) **Stated { return &f.InductanceH }, stated(number{0, 1, false, "in henries", nil}))},
}

var columnsOfJob = part(func(j *Job) *spectrum.Columns { return &j.Columns }, record[spectrum.Columns]{
	{name: "frequency", meaning: "Header of the frequency column, in hertz.",
		form: asText(func(c *spectrum.Columns) *string { return &c.Frequency })},
	{name: "real", meaning: "Header of the column with the real part Z'.", form: asText(func(c *spectrum.Columns) *string { return &c.Real })},
	{name: "imaginary", meaning: "Header of the column with the imaginary part.", form: asText(func(c *spectrum.Columns) *string { return &c.Imaginary })},
	{name: "magnitude", meaning: "Header of the column with the magnitude |Z|.", form: asText(func(c *spectrum.Columns) *string { return &c.Magnitude })},
	{name: "phase", meaning: "Header of the column with the phase in degrees.", form: asText(func(c *spectrum.Columns) *string { return &c.Phase })},
	{name: "unit", meaning: "Unit of the impedance columns where their header does not say it.",
		form: part(func(c *spectrum.Columns) *string { return &c.Unit }, choice[string]{[]string{"ohm", "mohm", "Ω", "mΩ"}})},
	{name: "imaginary_sign", meaning: `"+" where the imaginary column holds Z'' (negative for a capacitive arc), "-" where it holds -Z''; with quotes.`,
		form: part(func(c *spectrum.Columns) *string { return &c.ImaginarySign }, choice[string]{[]string{"+", "-"}})},
})
