package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A report that was made of other limits, other rows or another spectrum, and then given the digests of the true inputs and seals
// of its own, is found out where the inputs are at hand: what it says does not follow from them.
func TestForgedReportIsFoundOut(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	bench := reported(t)
	_, honest, err := order{}.judged(t.Context(), must(os.OpenRoot(bench)).FS(), &meter{})
	if err != nil {
		t.Fatal(err)
	}
	aged := string(must(os.ReadFile(filepath.Join(bench, "spectra", "A1_aged.csv"))))
	for name, forge := range map[string]struct{ file, old, new string }{
		"verdict":     {"job.yaml", "charge_transfer_growth, max: 2.0", "charge_transfer_growth, max: 1.2"},
		"rule":        {"job.yaml", "kind: guarded", "kind: simple"},
		"limit":       {"job.yaml", "ohmic_growth, max: 1.5", "ohmic_growth, max: 1.6"},
		"temperature": {"measurements.csv", ",25.1,", ",25.2,"},
		"date":        {"measurements.csv", "2026-03-03", "2026-03-02"},
		"capacity":    {"measurements.csv", ",2.37,", ",2.38,"},
		"label":       {"measurements.csv", "A1,", "B1,"},
		"spectrum":    {"spectra/A1_aged.csv", aged, strings.Replace(aged, "\n", "\n# another\n", 1)},
	} {
		forged := filepath.Join(t.TempDir(), "forged")
		if err := os.CopyFS(forged, os.DirFS(bench)); err != nil {
			t.Fatal(err)
		}
		text := string(must(os.ReadFile(filepath.Join(forged, forge.file))))
		if !strings.Contains(text, forge.old) {
			t.Fatalf("%s: %s lacks %q", name, forge.file, forge.old)
		}
		keep(t, filepath.Join(forged, forge.file), []byte(strings.ReplaceAll(text, forge.old, forge.new)))
		r, d, err := order{}.judged(t.Context(), must(os.OpenRoot(forged)).FS(), &meter{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		d.Inputs = honest.Inputs
		out := filepath.Join(t.TempDir(), "out")
		if err := writeSets(t.Context(), []set{{folder: out, files: reportFiles(d, r, "")}}, d.Words.Err, &meter{}); err != nil {
			t.Fatal(err)
		}
		if alone := verified(t, exitDone, out); !alone.Matches {
			t.Errorf("%s: the forgery is not sound in itself, so that it shows nothing: %+v", name, alone.Mismatches)
		}
		if found := verified(t, exitFailed, out, "--job", bench); len(found.Mismatches) == 0 {
			t.Errorf("%s: not found out", name)
		}
	}
}
