//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"golang.org/x/tools/txtar"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/templates"
)

// longestJob is what a job of a few spectra may take, on a busy machine too.
const longestJob = 30 * time.Second

// FuzzJob: whatever job.yaml, the table and a spectrum hold, a job is refused with the places of its faults, or it is judged:
// then its results meet their schema, and a cell passes only on what was measured, accepted and meets every limit. Of one job
// in sixteen the whole report is written: complete and twice the same, or nothing at all.
func FuzzJob(f *testing.F) {
	starter := jobFiles(f, must(fs.Sub(templates.FS(), "job")))
	for _, change := range jobsToFuzz {
		f.Add(changed(starter["job.yaml"], change), string(starter["measurements.csv"]), starter["spectra/A1_aged.csv"])
	}
	for _, file := range must(txtar.ParseFile(malformed + "sound.txtar")).Files {
		if file.Name == "measurements.csv" {
			f.Add("columns: {unit: ohm}\n", string(file.Data), starter["spectra/A1_new.csv"])
		}
	}
	f.Fuzz(func(t *testing.T, text, table string, sweep []byte) {
		files := map[string][]byte{"job.yaml": []byte(text), "measurements.csv": []byte(table), "spectra/A1_aged.csv": sweep,
			"spectra/A1_new.csv": starter["spectra/A1_new.csv"], "spectra/other.csv": starter["spectra/A1_aged.csv"]}
		began := time.Now()
		holdJudgement(t, files)
		sum := sha256.Sum256(slices.Concat([]byte(text), []byte(table), sweep))
		if sum[0]%16 == 0 {
			holdReport(t, files)
		}
		if took := time.Since(began); took > longestJob {
			t.Errorf("took %v", took)
		}
	})
}

// jobsToFuzz are changes of the starter's job.yaml that bring up most of what a job can ask for.
var jobsToFuzz = [][]string{
	nil,
	{"source: first ", "source: declared", "ohmic_ohm:           {value: , standard_uncertainty: }", "ohmic_ohm: {value: 0.02, standard_uncertainty: 0.001}"},
	{"source: first ", "source: reference-cells", "cells: [] ", "cells: [A1]"},
	{"kind: guarded", "kind: four-way", "language: en", "language: de"},
	{"kind: guarded", "kind: simple", "source: none", "source: measured"},
	{"grades: []", "grades: [{name: A, limits: [{quantity: ohmic_ohm, max: 0.03}]}]", "group_by: ", "group_by: cycles"},
	{"standard:                        # att", "standard: attributes # att", "lot_size: ", "lot_size: 40", "aql: ", "aql: 1.0"},
	{"resistance_ohm: {value: , standard_uncertainty: }", "resistance_ohm: {value: 0.001, standard_uncertainty: 0.0001}"},
}

func changed(text []byte, oldnew []string) string {
	return strings.NewReplacer(oldnew...).Replace(string(text))
}

func jobFiles(f *testing.F, folder fs.FS) map[string][]byte {
	files := map[string][]byte{}
	for _, name := range []string{"job.yaml", "measurements.csv", "spectra/A1_new.csv", "spectra/A1_aged.csv"} {
		files[name] = must(fs.ReadFile(folder, name))
	}
	return files
}

// holdJudgement judges a job in memory.
func holdJudgement(t *testing.T, files map[string][]byte) {
	t.Helper()
	folder := fstest.MapFS{}
	for name, data := range files {
		folder[name] = &fstest.MapFile{Data: data}
	}
	_, d, err := order{}.judged(context.Background(), folder, &meter{})
	if err != nil {
		if message := err.Error(); exitCode(err) != exitRefused || !placed.MatchString(message) || traced.MatchString(message) || d != nil {
			t.Fatalf("exit code %d: %s", exitCode(err), message)
		}
		return
	}
	var results bytes.Buffer
	if err := report.WriteResults(&results, d); err != nil {
		t.Fatal(err)
	}
	if err := conforms(must(fs.ReadFile(templates.FS(), "schema/results.schema.json")), results.Bytes()); err != nil {
		t.Fatal(err)
	}
	holdVerdicts(t, d.Assessment)
}

// holdVerdicts: nothing passes that could not be evaluated.
func holdVerdicts(t *testing.T, a *health.Assessment) {
	t.Helper()
	for i := range a.Cells.Len() {
		cell := a.Cells.At(i)
		if cell.Verdict != health.Pass && cell.Verdict != health.ConditionalPass {
			continue
		}
		if cell.Latest < 0 || len(cell.Criteria) == 0 || !cell.Measurements[cell.Latest].Quality.Accepted {
			t.Fatalf("%q passes on nothing: %+v", cell.Name, cell)
		}
		latest := &cell.Measurements[cell.Latest]
		for _, c := range cell.Criteria {
			holdPass(t, cell, &c, a.Job.DecisionRule.Kind)
			for _, f := range latest.Quality.Findings {
				if slices.Contains(f.Touches, c.Quantity) {
					t.Fatalf("%q passes, although %s touches %s", cell.Name, f.Code, c.Quantity)
				}
			}
		}
	}
}

// holdPass: the value of a criterion that is passed is a number, and meets its limit as the rule asks.
func holdPass(t *testing.T, cell *health.Cell, c *health.Criterion, rule job.DecisionRuleKind) {
	t.Helper()
	value, worst := c.Value.Estimate(), c.Value.Estimate()
	if rule == job.Guarded && !c.Unstated {
		worst = map[job.Side]float64{job.Max: c.Upper, job.Min: c.Lower}[c.Side]
	}
	meets := worst <= c.Limit*(1+1e-9)
	if c.Side == job.Min {
		meets = worst >= c.Limit*(1-1e-9)
	}
	passed := c.Verdict == health.Pass || c.Verdict == health.ConditionalPass
	if !passed || !c.Value.Known() || math.IsInf(value, 0) || math.IsNaN(value) || !meets {
		t.Fatalf("%q is %v on %+v", cell.Name, cell.Verdict, c)
	}
}

// holdReport writes a whole report twice: all of it or nothing.
func holdReport(t *testing.T, files map[string][]byte) {
	t.Helper()
	top := t.TempDir()
	bench, out := filepath.Join(top, "bench"), filepath.Join(top, "out")
	for name, data := range files {
		keep(t, filepath.Join(bench, name), data)
	}
	var first map[string]string
	for range 2 {
		var told bytes.Buffer
		code := run([]string{"report", bench, "-o", out, "--verdict-exit=false"}, &told, &told)
		got := contents(t, out)
		switch {
		case code != exitDone && code != exitRefused:
			t.Fatalf("exit code %d: %s", code, &told)
		case control.MatchString(told.String()):
			t.Fatalf("control characters: %q", &told)
		case code == exitDone && len(got) != len(formats), code == exitRefused && len(got) != 0:
			t.Fatalf("exit code %d, and there are %d files", code, len(got))
		case first != nil && len(got) > 0 && !maps.Equal(first, got):
			t.Fatal("two runs differ")
		}
		first = got
	}
	if entries := must(os.ReadDir(top)); len(entries) != 1+min(len(first), 1) {
		t.Fatalf("left behind: %v", entries)
	}
}
