package main

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"ohmledger/templates"
)

var update = flag.Bool("update", false, "rewrite the demonstration's job, its truth and all goldens")

const (
	demoFolder = "../../templates/demo"
	truthFile  = "../../testdata/demo/truth.csv"
)

// TestDemonstrationIsThatOfTheScenario holds the files that the program carries against the scenario, byte by byte.
func TestDemonstrationIsThatOfTheScenario(t *testing.T) {
	want := map[string][]byte{"measurements.csv": table(sweeps())}
	for _, s := range sweeps() {
		want[s.spectrum.File] = dialects[s.incident.form](s.spectrum)
	}
	if *update {
		rewrite(t, want)
	}
	got, err := filesOf(must(fs.Sub(templates.FS(), "demo")))
	if err != nil {
		t.Fatal(err)
	}
	size := 0
	for _, f := range got {
		size += len(f.data)
		if f.name != "job.yaml" && !*update && !bytes.Equal(f.data, want[f.name]) {
			t.Errorf("%s is not that of the scenario; go test ./cmd/ohmledger -update rewrites it", f.name)
		}
	}
	if !*update && len(got) != len(want)+1 {
		t.Errorf("%d files, the scenario has %d and job.yaml", len(got), len(want))
	}
	if size > 400<<10 {
		t.Errorf("the demonstration has %d bytes", size)
	}
}

// TestTruthIsThatOfTheScenario keeps the recorded truth true.
func TestTruthIsThatOfTheScenario(t *testing.T) {
	golden(t, truthFile, truths(sweeps()))
}

func rewrite(t *testing.T, files map[string][]byte) {
	t.Helper()
	if err := os.RemoveAll(filepath.Join(demoFolder, "spectra")); err != nil {
		t.Fatal(err)
	}
	for name, data := range files {
		keep(t, filepath.Join(demoFolder, name), data)
	}
}

func keep(t testing.TB, name string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, data, 0o666); err != nil {
		t.Fatal(err)
	}
}

// golden compares with a file, or rewrites it with -update.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	if *update {
		keep(t, name, got)
		return
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; where that is right, go test -update rewrites it. Got:\n%s", name, got)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// table is the demonstration's measurements.csv.
func table(all []sweep) []byte {
	rows := [][]string{{"cell", "file", "measured_at", "temperature_c", "soc_percent", "cycles", "capacity_ah", "sensing",
		"control", "amplitude_a", "rest_minutes", "ocv_before_v", "ocv_after_v", "fixture", "operator", "remarks"}}
	began := map[int]time.Time{}
	for _, s := range all {
		v := visits[s.visit]
		at, later := began[s.visit]
		if !later {
			at = must(time.Parse("2006-01-02 15:04", v.day+" "+v.beginning))
		}
		began[s.visit] = at.Add(35 * time.Minute)
		rows = append(rows, []string{s.course.name, s.spectrum.File, at.Format(time.RFC3339), fmt.Sprintf("%.1f", s.celsius),
			strconv.Itoa(50 - (s.visit+len(s.course.incidents))%2), fmt.Sprint(v.cycles), s.capacity(), s.sensing(), "galvanostatic", "0.1", "120",
			s.voltage(0), s.voltage(0.0002), "clip block 2", operator(s.visit), s.incident.remarks})
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	must(0, w.WriteAll(rows))
	return b.Bytes()
}

// capacity was measured at some visits, and fades as the charge transfer grows.
func (s *sweep) capacity() string {
	if s.course.without || !visits[s.visit].capacity {
		return ""
	}
	life := (s.truth.transferGrowth - 1) / (s.course.transferGrowth - 1)
	return fmt.Sprintf("%.3f", s.course.capacityAh*(1-(1-s.course.retention)*life))
}

func (s *sweep) sensing() string {
	if s.incident.twoWire {
		return "2-wire"
	}
	return "4-wire"
}

// voltage is that of a cell at half charge, which falls a little with age.
func (s *sweep) voltage(change float64) string {
	return fmt.Sprintf("%.4f", 3.6712-0.004*(s.truth.transferGrowth-1)-change)
}

func operator(visit int) string { return []string{"bench A", "bench B"}[visit%2] }

// truths lists what a perfect bench would have found, at 25 °C.
func truths(all []sweep) []byte {
	b := bytes.NewBufferString("cell,file,ohmic_ohm,charge_transfer_ohm,ohmic_growth,charge_transfer_growth\n")
	for _, s := range all {
		fmt.Fprintf(b, "%s,%s,%.6g,%.6g,%.6g,%.6g\n", s.course.name, s.spectrum.File, s.truth.ohmic, s.truth.transfer, s.truth.ohmicGrowth, s.truth.transferGrowth)
	}
	return b.Bytes()
}

func TestScenarioHoldsWhatItIsFor(t *testing.T) {
	all := sweeps()
	lowest := slices.MinFunc(all, func(a, b sweep) int { return int(10 * (a.celsius - b.celsius)) })
	highest := slices.MaxFunc(all, func(a, b sweep) int { return int(10 * (a.celsius - b.celsius)) })
	if lowest.celsius < 17 || lowest.celsius > 19 || highest.celsius < 30 || highest.celsius > 32 {
		t.Errorf("temperatures from %.1f to %.1f °C", lowest.celsius, highest.celsius)
	}
	for c := range courses {
		n := len(visits) - len(courses[c].absent)
		if n < 5 || n > 8 {
			t.Errorf("%s has %d measurements", courses[c].name, n)
		}
	}
}
