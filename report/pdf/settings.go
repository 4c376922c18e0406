package pdf

import (
	"cmp"
	"slices"
	"strings"

	"ohmledger/fit"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// inForce is one of job.yaml's settings that bears on the results, under its key there: the page calls it by a name.
type inForce struct{ key, value string }

// settings is the table of what was in force, and what of it is a default.
func (c *composition) settings() {
	list := c.inForce()
	t := table{columns: []column{
		{head: c.label("setting")}, {head: c.label("setting-value"), most: 56},
		{head: c.label("setting")}, {head: c.label("setting-value"), most: 56},
	}}
	half := (len(list) + 1) / 2
	for i := range half {
		record := c.settingEntries(list[i])
		if i+half < len(list) {
			record = append(record, c.settingEntries(list[i+half])...)
		} else {
			record = append(record, entries("", "")...)
		}
		t.records = append(t.records, record)
	}
	c.subheading("settings")
	c.addTable(t)
}

func (c *composition) settingEntries(s inForce) []entry {
	value := s.value
	if slices.Contains(c.job.Defaulted, s.key) {
		value = c.say("by-default", value)
	}
	key := c.sheet.table.in(c.sheet.colours.quiet)
	return []entry{{text: c.say("setting."+s.key, nil), style: &key}, {text: value}}
}

// inForce lists the settings that results depend on, in job.yaml's order.
func (c *composition) inForce() []inForce {
	k, i, d := c.conditions(), c.instrument(), c.job.DecisionRule
	list := []inForce{
		{"conditions.reference_temperature_c", k.Reference},
		{"conditions.temperature_range_c", k.From + " … " + k.To},
		{"conditions.temperature_uncertainty_c", k.Uncertainty},
		{"conditions.soc_percent", c.orNotStated(k.SOC)},
		{"conditions.soc_tolerance_percent", k.Tolerance},
		{"conditions.min_rest_minutes", k.Rest},
		{"instrument.relative_uncertainty", i.Relative},
		{"instrument.absolute_uncertainty_ohm", i.Absolute},
		{"baseline.source", c.source(c.job.Baseline.Source)},
		{"baseline.declared.ohmic_ohm", c.declared(c.job.Baseline.Ohmic, notation.Ohm)},
		{"baseline.declared.charge_transfer_ohm", c.declared(c.job.Baseline.ChargeTransfer, notation.Ohm)},
		{"baseline.cells", c.literally(strings.Join(c.job.Baseline.Cells, ", "))},
		{"temperature_correction.source", c.doc.Words.Say("correction."+string(cmp.Or(c.job.TemperatureCorrection.Source, job.CorrectionNone)), nil)},
		{"temperature_correction.ohmic", c.declared(c.job.TemperatureCorrection.Ohmic, notation.KilojouleMole)},
		{"temperature_correction.charge_transfer", c.declared(c.job.TemperatureCorrection.ChargeTransfer, notation.KilojouleMole)},
		{"decision_rule.kind", c.doc.Words.Say("rule."+string(d.Kind), nil)},
		{"decision_rule.coverage_factor", c.factor()},
	}
	list = append(append(list, c.lotSettings()...), inForce{"fixture_correction", c.fixture()}, inForce{"language", c.say("language", c.job.Language)},
		inForce{"wording", c.literally(c.job.Wording)})
	return slices.DeleteFunc(list, func(s inForce) bool { return s.value == "" })
}

func (c *composition) orNotStated(text string) string {
	if text == "" {
		return c.notStated()
	}
	return text
}

// declared writes a value that the job states; blank where it states none.
func (c *composition) declared(s *job.Stated, u notation.Unit) string {
	if s == nil {
		return ""
	}
	v := fit.NewValue(s.Value, s.StandardUncertainty)
	return c.numbers.Value(v, u.Scale(v))
}

func (c *composition) fixture() string {
	f := c.job.FixtureCorrection
	if f == nil {
		return ""
	}
	if f.File != "" {
		return c.literally(f.File)
	}
	return strings.TrimSpace(c.declared(f.Resistance, notation.Ohm) + " " + c.declared(f.InductanceH, notation.Henry))
}

// factor is the coverage factor in force.
func (c *composition) factor() string { return c.numbers.Stated(c.coverage(), notation.One.Scale()) }
