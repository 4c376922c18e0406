package job

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

// jobWith is a sound job folder whose job.yaml is text.
func jobWith(t testing.TB, text string) fstest.MapFS {
	t.Helper()
	return fstest.MapFS{
		jobFile:          {Data: []byte(text)},
		textTable:        {Data: []byte(soundTable)},
		"spectra/A1.csv": {Data: []byte(soundSpectrum)}, "spectra/A2.csv": {Data: []byte(soundSpectrum)},
		"spectra/shorted.csv": {Data: []byte(soundSpectrum)}, "logo.png": {Data: []byte("picture")}, "words/blocks.tmpl": {Data: []byte("")},
	}
}

const soundTable = `cell,file,measured_at,temperature_c,pallet
A1,spectra/A1.csv,2026-03-01,25,P7
A2,spectra/A2.csv,2026-03-02,25,P8
`

const soundSpectrum = `frequency_hz,z_real_ohm,z_imag_ohm
1000,0.030,-0.001
100,0.035,-0.004
10,0.040,-0.005
1,0.045,-0.004
`

// leaves are the paths of all keys of a schema, groups included.
func leaves(s *schema, path string) []string {
	var paths []string
	for _, name := range s.order {
		below := s.Properties[name]
		if below.Items != nil {
			below = below.Items
		}
		paths = append(paths, strings.TrimPrefix(path+"."+name, "."))
		paths = append(paths, leaves(below, strings.TrimPrefix(path+"."+name, "."))...)
	}
	return paths
}

func read(t *testing.T, text string) *Job {
	t.Helper()
	j, err := Read(jobWith(t, text))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// What the defaults fill is in force and said.
func TestDefaults(t *testing.T) {
	j := read(t, "report: {number: 7}")
	c := j.Conditions
	if c.ReferenceTemperatureC != 25 || c.TemperatureMinC != 15 || c.TemperatureMaxC != 35 || c.TemperatureUncertaintyC != 0.5 ||
		c.SOCPercent != nil || c.SOCTolerancePercent != 5 || c.MinRestMinutes != 30 {
		t.Errorf("conditions are %+v", c)
	}
	if j.Instrument.RelativeUncertainty != 0.002 || j.Instrument.AbsoluteUncertaintyOhm != 0.00002 {
		t.Errorf("instrument is %+v", j.Instrument)
	}
	if j.Baseline.Source != First || j.TemperatureCorrection.Source != CorrectionNone || j.DecisionRule != (DecisionRule{Guarded, 2}) || j.Language != "en" {
		t.Errorf("baseline %v, correction %v, rule %v, language %q", j.Baseline, j.TemperatureCorrection, j.DecisionRule, j.Language)
	}
	want := []string{"conditions.reference_temperature_c", "conditions.temperature_range_c", "conditions.temperature_uncertainty_c",
		"conditions.soc_tolerance_percent", "conditions.min_rest_minutes", "instrument.relative_uncertainty", "instrument.absolute_uncertainty_ohm",
		"baseline.source", "temperature_correction.source", "decision_rule.kind", "decision_rule.coverage_factor", "language"}
	if !slices.Equal(j.Defaulted, want) {
		t.Errorf("defaulted are %q", j.Defaulted)
	}
	if len(j.Limits) != 0 || j.Measurements[0].TemperatureUncertaintyC != 0.5 {
		t.Errorf("limits %v, first measurement %+v", j.Limits, j.Measurements[0])
	}
}

// A stated value is no default, even where it is equal to one.
func TestStatedIsNotDefaulted(t *testing.T) {
	j := read(t, "conditions: {reference_temperature_c: 25, temperature_uncertainty_c: 0.2}\nsampling: {standard: variables, lot_size: 40, aql: 1.0}")
	if slices.Contains(j.Defaulted, "conditions.reference_temperature_c") || !slices.Contains(j.Defaulted, "sampling.level") {
		t.Errorf("defaulted are %q", j.Defaulted)
	}
	if j.Measurements[1].TemperatureUncertaintyC != 0.2 || j.Sampling.Level != "IV" || j.Sampling.Severity != "normal" {
		t.Errorf("measurement %+v, sampling %+v", j.Measurements[1], j.Sampling)
	}
}

// A text is taken as written, whatever YAML would make of it.
func TestTextsAreTakenAsWritten(t *testing.T) {
	for written, want := range map[string]string{
		"0042": "0042", "18650": "18650", "1e3": "1e3", "0x1F": "0x1F", "1_000": "1_000", "2026-03-14": "2026-03-14", "true": "true", "No": "No",
		".5": ".5", "+7": "+7", "12:30": "12:30", `"007"`: "007", `'it''s'`: "it's", "7 # seven": "7", "Ω & Söhne": "Ω & Söhne", ".inf": ".inf",
		"~": "", "null": "", `"null"`: "null", "\"\"": "", "|\n    two\n    lines\n": "two\nlines", ">\n    one\n    line\n": "one line",
		"one\n    line": "one line", `"# 4711"`: "# 4711", "C#": "C#",
	} {
		if got := read(t, "report:\n  number: "+written+"\n").Report.Number; got != want {
			t.Errorf("%s reads as %q, want %q", written, got, want)
		}
	}
}

// A file may begin with a byte order mark and a ---, end with a …, and have any line ends.
func TestFileForms(t *testing.T) {
	for _, text := range []string{"\ufefflanguage: de\n", "---\nlanguage: de\n...\n", "# comment\r\nlanguage: de\r\n", "language: de\rreport: {}\r", "language:\tde"} {
		if j := read(t, text); j.Language != "de" {
			t.Errorf("%q: language %q", text, j.Language)
		}
	}
}

func TestDates(t *testing.T) {
	for written, want := range map[string]string{
		"2026-03-14": "2026-03-14T00:00:00Z", "2026-03-14T09:30:00Z": "2026-03-14T09:30:00Z", "2026-03-14T00:30:00+02:00": "2026-03-14T00:30:00+02:00",
		"2026-03-14T09:30:00+00:00": "2026-03-14T09:30:00Z", "2024-02-29": "2024-02-29T00:00:00Z",
	} {
		got := read(t, "instrument: {calibration_due: "+written+"}").Instrument.CalibrationDue.Format(time.RFC3339)
		if got != want {
			t.Errorf("%s reads as %s, want %s", written, got, want)
		}
	}
}

// The machine's time zone must not get into a date, not even where the offsets agree.
func TestDatesDoNotDependOnTheMachinesZone(t *testing.T) {
	old := time.Local
	t.Cleanup(func() { time.Local = old })
	time.Local = time.FixedZone("Here", 3600)
	date, _, _ := parseDate("2026-03-14T09:30:00+01:00")
	if name, _ := date.Zone(); name != "" {
		t.Errorf("zone %q", name)
	}
}

// The whole block of the manual, with what it leaves to the user filled in.
func TestEveryGroupReads(t *testing.T) {
	j := read(t, `
report: {number: R-1, issued: 2026-04-01, received: 2026-02-20, customer: {name: Somebody}}
laboratory: {logo: logo.png, accent: "#1F4E79"}
baseline: {source: declared, declared: {ohmic_ohm: {value: 0.03, standard_uncertainty: 0.001}}}
temperature_correction: {source: declared, charge_transfer: {activation_energy_kj_per_mol: 52, standard_uncertainty: 3}}
grades:
  - {name: A, limits: [{quantity: charge_transfer_growth, max: 1.3}]}
  - {name: B, limits: [{quantity: charge_transfer_growth, max: 1.8}]}
group_by: pallet
sampling: {standard: attributes, lot_size: 500, aql: 1.0}
grouping: {size: 14, by: [charge_transfer_ohm, ohmic_ohm], within_grade: false}
fixture_correction: {resistance_ohm: {value: 0.012, standard_uncertainty: 0.001}}
wording: words
columns: {frequency: f, real: "Z'", imaginary: "Z''", unit: mΩ, imaginary_sign: "-"}
`)
	if *j.Baseline.Ohmic != (Stated{0.03, 0.001}) || j.Baseline.ChargeTransfer != nil || *j.TemperatureCorrection.ChargeTransfer != (Stated{52, 3}) {
		t.Errorf("baseline %+v, correction %+v", j.Baseline, j.TemperatureCorrection)
	}
	if len(j.Grades) != 2 || j.Grades[1].Limits[0].Bound != 1.8 || j.GroupBy != "pallet" || *j.Sampling != (Sampling{"attributes", 500, 1, "II", "normal"}) {
		t.Errorf("grades %+v, group_by %q, sampling %+v", j.Grades, j.GroupBy, j.Sampling)
	}
	if g := j.Grouping; g.Size != 14 || g.Arrangement != "series" || g.WithinGrade || len(g.By) != 2 {
		t.Errorf("grouping %+v", g)
	}
	if j.FixtureCorrection.Resistance.Value != 0.012 || j.Wording != "words" || j.Columns.ImaginarySign != "-" || j.Columns.Unit != "mΩ" {
		t.Errorf("fixture %+v, wording %q, columns %+v", j.FixtureCorrection, j.Wording, j.Columns)
	}
}

func TestSources(t *testing.T) {
	j := read(t, "language: en\n")
	// printf 'language: en\n' | sha256sum
	want := Source{"job.yaml", "1cea2033290c40aecbe6f66998862ef2164436a03cd837035805f91549f26795", 13}
	if len(j.Sources) != 2 || j.Sources[0] != want || j.Sources[1].File != textTable || j.Table != textTable {
		t.Errorf("sources are %+v", j.Sources)
	}
}
