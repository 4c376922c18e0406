package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// delivered is a job of cells that were measured at some visits, with a job.yaml whose judgement is replaced.
func delivered(t *testing.T, folder string, cells int, at []int, judgement string) {
	t.Helper()
	rows := [][]string{{"cell", "file", "measured_at", "temperature_c", "soc_percent", "cycles", "capacity_ah", "sensing", "rest_minutes", "pallet"}}
	for c := range cells {
		course := courses[c%len(courses)]
		course.name, course.incidents = fmt.Sprintf("D-%02d", c+1), nil
		for _, v := range at {
			s := course.measured(v, rand.New(rand.NewPCG(uint64(3000+c), uint64(v))))
			keep(t, filepath.Join(folder, s.spectrum.File), dialects[""](s.spectrum))
			rows = append(rows, []string{course.name, s.spectrum.File, visits[v].day, strconv.FormatFloat(s.celsius, 'f', 1, 64), "50",
				fmt.Sprint(visits[v].cycles), "2.4", "4-wire", "120", fmt.Sprintf("P%d", c%2)})
		}
	}
	var table bytes.Buffer
	if err := csv.NewWriter(&table).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	keep(t, filepath.Join(folder, "measurements.csv"), table.Bytes())
	text := must(os.ReadFile(demoFolder + "/job.yaml"))
	text = regexp.MustCompile(`(?ms)^(baseline|temperature_correction|language):.*?\n\n`).ReplaceAll(append(text, '\n', '\n'), nil)
	keep(t, filepath.Join(folder, "job.yaml"), append(text, judgement...))
}

const (
	declaredEnergies = "temperature_correction:\n  source: declared\n  ohmic: {activation_energy_kj_per_mol: 14, standard_uncertainty: 2}\n" +
		"  charge_transfer: {activation_energy_kj_per_mol: 54, standard_uncertainty: 4}\n"
	declaredBaseline = "baseline:\n  source: declared\n  declared: {ohmic_ohm: {value: 0.02, standard_uncertainty: 0.0004}, charge_transfer_ohm: {value: 0.02, standard_uncertainty: 0.0008}}\n"
)

// shared are jobs whose cells have something in common, of every kind, and into how many parts each is divided: one, some, more
// than cells.
var shared = []struct {
	name      string
	cells     int
	visits    []int
	judgement string
	parts     []int
}{
	{"each cell by itself", 4, []int{0, 3, 7}, "baseline: {source: first}\n" + declaredEnergies, []int{1, 3, 7}},
	{"one circuit for all, sampling, groups", 13, []int{2}, declaredBaseline + declaredEnergies + "group_by: pallet\nsampling: {standard: attributes, lot_size: 200, aql: 1, level: II, severity: normal}\n" +
		"grouping: {size: 3, arrangement: parallel, by: [charge_transfer_ohm, ohmic_ohm], within_grade: false}\n", []int{3}},
	{"reference cells", 5, []int{1, 4}, "baseline: {source: reference-cells, cells: [D-01, D-04]}\n" + declaredEnergies, []int{2}},
	{"energies of the job's own series, German", 3, []int{0, 2, 4, 6}, "baseline: {source: first}\ntemperature_correction: {source: measured}\nlanguage: de\n", []int{5}},
}

// TestPartsMakeTheWhole is byte for byte.
func TestPartsMakeTheWhole(t *testing.T) {
	for i, s := range shared {
		if testing.Short() && i > 0 {
			break // what runs side by side does so in the first
		}
		t.Run(s.name, func(t *testing.T) {
			folder := t.TempDir()
			delivered(t, folder, s.cells, s.visits, s.judgement)
			whole := filepath.Join(t.TempDir(), "whole")
			code := quietly(t, "report", folder, "-o", whole)
			for _, n := range s.parts {
				out := filepath.Join(t.TempDir(), "merged")
				if merged := quietly(t, append([]string{"merge", out}, judgedApart(t, folder, n)...)...); merged != code {
					t.Errorf("%d parts: exit code %d, of the whole %d", n, merged, code)
				}
				sameFiles(t, fmt.Sprintf("%d parts", n), whole, out)
			}
		})
	}
}

// quietly runs a command that is to succeed.
func quietly(t *testing.T, args ...string) int {
	t.Helper()
	var words bytes.Buffer
	code := run(args, io.Discard, &words)
	if code > exitFailed {
		t.Fatalf("%s: %s", strings.Join(args, " "), words.String())
	}
	return code
}

// judgedApart judges a job in n parts and gives them in a random order.
func judgedApart(t *testing.T, folder string, n int) (parts []string) {
	t.Helper()
	below := t.TempDir()
	for _, i := range rand.Perm(n) {
		out := filepath.Join(below, fmt.Sprint(i))
		quietly(t, "report", folder, "--part", fmt.Sprintf("%d/%d", i+1, n), "-o", out)
		parts = append(parts, out)
	}
	return parts
}

func sameFiles(t *testing.T, what, want, got string) {
	t.Helper()
	for _, f := range formats {
		a, b := must(os.ReadFile(filepath.Join(want, f.name))), must(os.ReadFile(filepath.Join(got, f.name)))
		if !bytes.Equal(a, b) {
			t.Errorf("%s: %s differs from the whole's (%d and %d bytes)", what, f.name, len(b), len(a))
		}
	}
}

// TestMakefileOfTheReadme runs the README's example for many machines, where make is at hand, against a single run.
func TestMakefileOfTheReadme(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	tool, err := exec.LookPath("make")
	if err != nil {
		t.Skip("make is not at hand")
	}
	block := regexp.MustCompile("(?s)<!-- makefile -->\n```make\n(.*?)```").FindSubmatch(must(os.ReadFile(readme)))
	if block == nil {
		t.Fatal("the README has no example for make")
	}
	folder := t.TempDir()
	delivered(t, filepath.Join(folder, "bench-may"), 3, []int{0, 5}, "baseline: {source: first}\n"+declaredEnergies)
	t.Chdir(folder)
	keep(t, "Makefile", block[1])
	if words, err := exec.Command(tool, "-j", "2", "SHELL=/bin/sh").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, words)
	}
	quietly(t, "report", "bench-may", "-o", "whole")
	sameFiles(t, "make", "whole", "lot")
}
