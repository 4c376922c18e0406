package job

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"ohmledger/fit"
	"ohmledger/templates"
)

var update = flag.Bool("update", false, "rewrite the schema, the starter's spectra and the golden faults")

const templateFolder = "../../templates/"

func starter(t testing.TB) fs.FS {
	t.Helper()
	sub, err := fs.Sub(templates.FS(), "job")
	if err != nil {
		t.Fatal(err)
	}
	return sub
}

func TestStarterReads(t *testing.T) {
	j, err := Read(starter(t))
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Measurements) != 2 || len(j.Limits) != 3 || j.Sampling != nil || j.Grouping != nil || j.FixtureCorrection != nil {
		t.Errorf("the starter reads as %+v", j)
	}
	if j.Cell.Format != "18650" || j.Measurements[1].File != "spectra/A1_aged.csv" {
		t.Errorf("format %q, second spectrum %q", j.Cell.Format, j.Measurements[1].File)
	}
}

// Every key stands in the starter, and every line with a key says what it is for.
func TestStarterExplainsEveryKey(t *testing.T) {
	text, err := fs.ReadFile(starter(t), jobFile)
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range leaves(jobKeys.schema(), "") {
		name := path[strings.LastIndex(path, ".")+1:]
		if !bytes.Contains(text, []byte(name+":")) {
			t.Errorf("no %s in the starter", path)
		}
	}
	for number, line := range strings.Split(string(text), "\n") {
		if key, value, is := strings.Cut(strings.TrimSpace(line), ":"); is && !strings.HasPrefix(key, "#") &&
			strings.TrimSpace(value) == "" && strings.HasPrefix(line, "    ") {
			t.Errorf("line %d, %q, has no explanation", number+1, line)
		}
	}
}

func TestSchemaIsThatOfTheTable(t *testing.T) {
	golden(t, templateFolder+"schema/job.schema.json", Schema())
}

func TestStarterMeetsTheSchema(t *testing.T) {
	text, err := fs.ReadFile(starter(t), jobFile)
	if err != nil {
		t.Fatal(err)
	}
	if err := validate(t, text); err != nil {
		t.Error(err)
	}
}

// Both refuse the same: what the schema refuses, Read refuses.
func TestSchemaRefusesWhatReadRefuses(t *testing.T) {
	for _, text := range []string{
		"repot: {number: 1}", "report: {numbr: 1}", "limits: [{quantity: growth, max: 2}]", "limits: [{max: 2}]",
		"conditions: {reference_temperature_c: warm}", "conditions: {temperature_range_c: [15]}", "language: fr",
		"instrument: {relative_uncertainty: 2}", "grades: [{name: A}]", "laboratory: {accent: red}", "report: {issued: 14.3.2026}",
	} {
		if validate(t, []byte(text)) == nil {
			t.Errorf("the schema takes %s", text)
		}
		if _, err := Read(jobWith(t, text)); err == nil {
			t.Errorf("Read takes %s", text)
		}
	}
}

func validate(t *testing.T, text []byte) error {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource("job.schema.json", document); err != nil {
		t.Fatal(err)
	}
	compiled, err := compiler.Compile("job.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	inJSON, err := yaml.YAMLToJSON(text)
	if err != nil {
		t.Fatal(err)
	}
	instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(inJSON))
	if err != nil {
		t.Fatal(err)
	}
	return compiled.Validate(instance)
}

// golden compares with a file, or rewrites it under -update.
func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; see it and run go test -update:\n%s", file, got)
	}
}

// The starter's spectra are invented: a cell of 18650 size (common practice: 8 to 60 mΩ ohmic, 2 to 100 mΩ charge
// transfer at 25 °C), 10 kHz to 50 mHz, with 0.1 % of noise.
var starterSpectra = []struct {
	file string
	seed uint64
	cell fit.Parameters
}{
	{"spectra/A1_new.csv", 1, fit.Parameters{LeadCoefficient: 4e-7, LeadExponent: 0.96, Ohmic: 0.0292,
		Film: 0.0042, FilmTimeConstant: 4e-4, FilmExponent: 0.78,
		ChargeTransfer: 0.0118, ChargeTransferTimeConstant: 0.021, ChargeTransferExponent: 0.86, Diffusion: 0.0031, DiffusionExponent: 0.5}},
	{"spectra/A1_aged.csv", 2, fit.Parameters{LeadCoefficient: 4e-7, LeadExponent: 0.96, Ohmic: 0.0331,
		Film: 0.0057, FilmTimeConstant: 4e-4, FilmExponent: 0.78,
		ChargeTransfer: 0.0189, ChargeTransferTimeConstant: 0.034, ChargeTransferExponent: 0.86, Diffusion: 0.0038, DiffusionExponent: 0.5}},
}

func TestStarterSpectraAreThoseOfTheCircuit(t *testing.T) {
	j, err := Read(starter(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range starterSpectra {
		frequency, impedance := invent(s.cell, s.seed)
		if *update {
			if err := os.WriteFile(templateFolder+"job/"+s.file, native(frequency, impedance), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		got, _, err := j.Spectrum(starter(t), Measurement{File: s.file})
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Frequency) != len(frequency) {
			t.Fatalf("%s has %d points, invented were %d", s.file, len(got.Frequency), len(frequency))
		}
		for i, f := range frequency {
			// Six digits are written; the last may differ between processors.
			if d := math.Hypot(real(got.Impedance[i]-impedance[i]), imag(got.Impedance[i]-impedance[i])); d > 2e-7 || math.Abs(got.Frequency[i]/f-1) > 1e-5 {
				t.Errorf("%s, %g Hz: %v, invented was %v", s.file, f, got.Impedance[i], impedance[i])
			}
		}
	}
}

// invent is a spectrum with noise, highest frequency first.
func invent(cell fit.Parameters, seed uint64) (frequency []float64, impedance []complex128) {
	source := rand.New(rand.NewPCG(seed, 0))
	for step := range 33 {
		f := 1e4 * math.Pow(10, -float64(step)/6)
		z := cell.Impedance(f)
		noise := complex(source.NormFloat64(), source.NormFloat64()) * complex(0.001*math.Hypot(real(z), imag(z)), 0)
		frequency, impedance = append(frequency, f), append(impedance, z+noise)
	}
	return frequency, impedance
}

func native(frequency []float64, impedance []complex128) []byte {
	var text bytes.Buffer
	text.WriteString("frequency_hz,z_real_ohm,z_imag_ohm\n")
	for i, f := range frequency {
		fmt.Fprintf(&text, "%.6g,%.7f,%.7f\n", f, real(impedance[i]), imag(impedance[i]))
	}
	return text.Bytes()
}
