package job

import "time"

// jobKeys is the table of job.yaml: its keys, what may stand there and what each means.
var jobKeys = record[Job]{
	{name: "report", meaning: "What the report says of itself. What stays blank is marked in the report, never invented.",
		form: part(func(j *Job) *Report { return &j.Report }, reportKeys)},
	{name: "laboratory", meaning: "The laboratory that issues the report.",
		form: part(func(j *Job) *Laboratory { return &j.Laboratory }, laboratoryKeys)},
	{name: "cell", meaning: "The kind of cell under test.",
		form: part(func(j *Job) *CellType { return &j.Cell }, cellKeys)},
	{name: "conditions", meaning: "The conditions under which measurements may be compared.",
		form: part(func(j *Job) *Conditions { return &j.Conditions }, conditionsKeys)},
	{name: "instrument", meaning: "The measuring instrument and its stated uncertainty.",
		form: part(func(j *Job) *Instrument { return &j.Instrument }, instrumentKeys)},
	{name: "baseline", meaning: "What growth is measured against.",
		form: part(func(j *Job) *Baseline { return &j.Baseline }, baselineKeys)},
	{name: "temperature_correction", meaning: "How resistances are brought to the reference temperature.",
		form: part(func(j *Job) *TemperatureCorrection { return &j.TemperatureCorrection }, correctionKeys)},
	{name: "limits", meaning: "The customer's limits, any number of them. Without limits nothing is judged.",
		form: part(func(j *Job) *[]Limit { return &j.Limits }, form[[]Limit](limits{}))},
	{name: "decision_rule", meaning: "How a value and its uncertainty are held against a limit.",
		form: part(func(j *Job) *DecisionRule { return &j.DecisionRule }, decisionKeys)},
	{name: "grades", meaning: "Grades, best first: a cell gets the first one all of whose limits it meets.",
		form: part(func(j *Job) *[]Grade { return &j.Grades }, form[[]Grade](several[Grade]{item: gradeKeys}))},
	{name: "group_by", meaning: "A column of measurements.csv that divides the lot, e.g. pallet.",
		form: asText(func(j *Job) *string { return &j.GroupBy })},
	{name: "sampling", meaning: "Acceptance sampling of a delivery.",
		form: part(func(j *Job) **Sampling { return &j.Sampling }, optional[Sampling]{samplingKeys})},
	{name: "grouping", meaning: "Cells to be matched into groups, such as modules.",
		form: part(func(j *Job) **Grouping { return &j.Grouping }, optional[Grouping]{groupingKeys})},
	{name: "fixture_correction", meaning: "What leads and fixture add, subtracted from two-wire measurements, or from all where no row is 2-wire: a spectrum of the shorted fixture, or stated values.",
		form: part(func(j *Job) **FixtureCorrection { return &j.FixtureCorrection }, optional[FixtureCorrection]{fixtureKeys})},
	{name: "wording", meaning: "A folder of the job whose text blocks replace the report's sentences.",
		form: asPath(func(j *Job) *string { return &j.Wording }, aFolder)},
	{name: "language", meaning: "The report's language: en (English) or de (German).", fallback: "en",
		form: part(func(j *Job) *string { return &j.Language }, choice[string]{[]string{"en", "de"}})},
	{name: "columns", meaning: "How the spectrum files' columns are named, where their header is not understood by itself.",
		form: columnsOfJob},
}

var reportKeys = record[Report]{
	{name: "number", meaning: "The report's number; it stands on every page.",
		form: asText(func(r *Report) *string { return &r.Number })},
	{name: "title", meaning: "The report's title.", form: asText(func(r *Report) *string { return &r.Title })},
	{name: "issued", meaning: "Date of issue, e.g. 2026-03-14.", form: asDay(func(r *Report) *time.Time { return &r.Issued })},
	{name: "amends", meaning: "Number of the report that this one replaces.", form: asText(func(r *Report) *string { return &r.Amends })},
	{name: "customer", meaning: "Who receives the report.", form: part(func(r *Report) *Customer { return &r.Customer }, customerKeys)},
	{name: "item", meaning: "What was tested, and its condition on arrival.", form: asText(func(r *Report) *string { return &r.Item })},
	{name: "received", meaning: "Date on which the item arrived, e.g. 2026-03-02.",
		form: asDay(func(r *Report) *time.Time { return &r.Received })},
	{name: "tested", meaning: "Day or days of the test, in your own words.", form: asText(func(r *Report) *string { return &r.Tested })},
	{name: "remarks", meaning: "Anything the reader should know.", form: asText(func(r *Report) *string { return &r.Remarks })},
	{name: "prepared_by", meaning: "Who made the report.", form: asText(func(r *Report) *string { return &r.PreparedBy })},
	{name: "authorised_by", meaning: "Who answers for the report.", form: asText(func(r *Report) *string { return &r.AuthorisedBy })},
}

var customerKeys = record[Customer]{
	{name: "name", meaning: "The customer's name.", form: asText(func(c *Customer) *string { return &c.Name })},
	{name: "address", meaning: "The customer's address.", form: asText(func(c *Customer) *string { return &c.Address })},
	{name: "reference", meaning: "The customer's order or reference.", form: asText(func(c *Customer) *string { return &c.Reference })},
}

var laboratoryKeys = record[Laboratory]{
	{name: "name", meaning: "The laboratory's name.", form: asText(func(l *Laboratory) *string { return &l.Name })},
	{name: "address", meaning: "The laboratory's address.", form: asText(func(l *Laboratory) *string { return &l.Address })},
	{name: "contact", meaning: "Telephone or e-mail for questions.", form: asText(func(l *Laboratory) *string { return &l.Contact })},
	{name: "logo", meaning: "A picture file of the job with the laboratory's logo.",
		form: asPath(func(l *Laboratory) *string { return &l.Logo }, aFile)},
	{name: "accreditation", meaning: "The accreditation, as it may be shown on a report.",
		form: asText(func(l *Laboratory) *string { return &l.Accreditation })},
	{name: "accent", meaning: `The laboratory's colour on the report, in quotes, e.g. "#1F4E79".`,
		form: part(func(l *Laboratory) *string { return &l.Accent }, form[string](colour{}))},
}

var cellKeys = record[CellType]{
	{name: "maker", meaning: "The cell's maker.", form: asText(func(c *CellType) *string { return &c.Maker })},
	{name: "model", meaning: "The cell's model.", form: asText(func(c *CellType) *string { return &c.Model })},
	{name: "chemistry", meaning: "The cell's chemistry, e.g. NMC/graphite.", form: asText(func(c *CellType) *string { return &c.Chemistry })},
	{name: "format", meaning: "The cell's format, e.g. 18650.", form: asText(func(c *CellType) *string { return &c.Format })},
	{name: "nominal_capacity_ah", meaning: "Nominal capacity in ampere-hours.",
		form: asNumber(func(c *CellType) *float64 { return &c.NominalCapacityAh }, number{0, 100_000, true, "in ampere-hours", nil})},
	{name: "nominal_voltage_v", meaning: "Nominal voltage in volts.",
		form: asNumber(func(c *CellType) *float64 { return &c.NominalVoltageV }, number{0, 1000, true, "in volts", nil})},
	{name: "rated_ac_resistance_1khz_ohm", meaning: "The data sheet's a.c. resistance at 1 kHz, in ohms.",
		form: asNumber(func(c *CellType) *float64 { return &c.RatedACResistance1kHzOhm }, number{0, 1000, true, "in ohms", nil})},
}

var instrumentKeys = record[Instrument]{
	{name: "name", meaning: "The instrument, with its inventory number.", form: asText(func(i *Instrument) *string { return &i.Name })},
	{name: "calibration_due", meaning: "Day until which the calibration holds, e.g. 2027-01-31.",
		form: asDay(func(i *Instrument) *time.Time { return &i.CalibrationDue })},
	{name: "relative_uncertainty", meaning: "Standard uncertainty of |Z| as a fraction of the reading: 0.002 for 0.2 %.", fallback: "0.002",
		form: asNumber(func(i *Instrument) *float64 { return &i.RelativeUncertainty }, number{0, 1, false, fraction, nil})},
	{name: "absolute_uncertainty_ohm", meaning: "Standard uncertainty of |Z| that does not shrink with the reading, in ohms.", fallback: "0.00002",
		form: asNumber(func(i *Instrument) *float64 { return &i.AbsoluteUncertaintyOhm }, number{0, 1000, false, "in ohms", nil})},
}
