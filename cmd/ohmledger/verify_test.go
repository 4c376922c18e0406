package main

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"ohmledger/health/job"
	"ohmledger/templates"
)

// reported is a folder with the starter job and its report in the folder report.
func reported(t testing.TB) string {
	t.Helper()
	bench := filepath.Join(t.TempDir(), "bench")
	for _, args := range [][]string{{"new", bench}, {"report", bench, "--verdict-exit=false"}} {
		var told bytes.Buffer
		if code := run(args, &told, &told); code != exitDone {
			t.Fatalf("%v: exit code %d: %s", args, code, &told)
		}
	}
	return bench
}

// verified is what verify --json says, held against its schema.
func verified(t *testing.T, want int, args ...string) verifyDocument {
	t.Helper()
	var out, told bytes.Buffer
	if code := run(append([]string{"verify", "--json"}, args...), &out, &told); code != want {
		t.Fatalf("%v: exit code %d, want %d: %s%s", args, code, want, &out, &told)
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(must(fs.ReadFile(templates.FS(), "schema/verify.schema.json"))))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("verify", schema); err != nil {
		t.Fatal(err)
	}
	instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	if err := must(c.Compile("verify")).Validate(instance); err != nil {
		t.Errorf("%v\n%s", err, &out)
	}
	var d verifyDocument
	if err := json.Unmarshal(out.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// A byte that is changed anywhere in a report is noticed, with its inputs at hand and without, and never by a crash.
func TestChangedByteIsNoticed(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	bench, out := reported(t), filepath.Join(t.TempDir(), "out")
	if err := os.Rename(filepath.Join(bench, "report"), out); err != nil {
		t.Fatal(err)
	}
	for _, f := range formats {
		name := filepath.Join(out, f.name)
		whole := must(os.ReadFile(name))
		for i := range 5 {
			b := bytes.Clone(whole)
			b[(2*i+1)*len(b)/10] ^= 1 << i
			keep(t, name, b)
			verified(t, exitFailed, out)
		}
		verified(t, exitFailed, out, "--job", bench)
		keep(t, name, whole)
	}
	if d := verified(t, exitDone, out, "--job", bench); !d.Matches || !d.Recomputed || d.Job == nil || len(d.Files) != len(formats) {
		t.Errorf("%+v", d)
	}
}

// Against the inputs a report is judged as report did it: without curves where it is large and its PDF has no sections of cells.
func TestVerifyKeepsNoCurvesThatNothingDraws(t *testing.T) {
	large := &job.Job{Measurements: make([]job.Measurement, 5000)}
	for i := range large.Measurements {
		large.Measurements[i].Cell = strconv.Itoa(i)
	}
	for cells, sparse := range map[string]bool{"none": true, "all": false} {
		out := filepath.Join(t.TempDir(), cells)
		var told bytes.Buffer
		if code := run([]string{"report", demoFolder, "-o", out, "--cells", cells, "--verdict-exit=false"}, &told, &told); code != exitDone {
			t.Fatalf("exit code %d: %s", code, &told)
		}
		v := &verification{}
		if _, err := v.gather(out); err != nil {
			t.Fatal(err)
		}
		v.compareFiles(false)
		if got := v.order("").evidence(large).Sparse; got != sparse {
			t.Errorf("--cells %s: judged sparsely %v", cells, got)
		}
		if d := verified(t, exitDone, out, "--job", demoFolder); !d.Matches || !d.Recomputed {
			t.Errorf("--cells %s: %+v", cells, d)
		}
	}
}

// What is written behind a PDF counts, unless it is said to be a signature.
func TestBytesBehindThePDF(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	out := filepath.Join(reported(t), "report")
	name := filepath.Join(out, pdfName)
	keep(t, name, append(must(os.ReadFile(name)), "9 0 obj\n<< /Type /Sig >>\nendobj\n%%EOF\n"...))
	if d := verified(t, exitFailed, out); len(d.Mismatches) != 1 || !strings.Contains(d.Mismatches[0].Message, "--signed") {
		t.Errorf("%+v", d)
	}
	if d := verified(t, exitDone, out, "--signed"); len(d.Notes) != 1 || !strings.Contains(d.Notes[0], "signature") {
		t.Errorf("%+v", d)
	}
}

// The inputs that results name may lie anywhere and be anything: nothing outside of the job is touched.
func TestInputsOutsideAreNotRead(t *testing.T) {
	bench := reported(t)
	results := filepath.Join(bench, "report", resultsName)
	whole := string(must(os.ReadFile(results)))
	keep(t, filepath.Join(filepath.Dir(bench), "secret"), []byte("secret"))
	for _, outside := range []string{"../secret", "/etc/passwd", "/dev/zero", "report", "", "a\x00b", `..\\secret`} {
		quoted := must(json.Marshal(outside))
		keep(t, results, []byte(strings.Replace(whole, `"file":"job.yaml"`, `"file":`+string(quoted), 1)))
		d := verified(t, exitFailed, filepath.Join(bench, "report"))
		if text := string(must(json.Marshal(d))); strings.Contains(text, digestOf([]byte("secret"))) {
			t.Errorf("%q was read: %s", outside, text)
		}
	}
}

// A report that another build made, whose numbers are the same, matches; the text says who made it.
func TestReportOfAnotherBuild(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	bench := reported(t)
	out := filepath.Join(bench, "report")
	r, d, err := order{}.judged(t.Context(), must(os.OpenRoot(bench)).FS(), &meter{})
	if err != nil {
		t.Fatal(err)
	}
	d.Tool.Build, d.Tool.Version = "0123abc", "0.0.9"
	if err := writeSets(t.Context(), []set{{folder: out, files: reportFiles(d, r, "")}}, d.Words.Err, &meter{}); err != nil {
		t.Fatal(err)
	}
	if d := verified(t, exitDone, out); d.MadeWith == nil || d.MadeWith.Version != "0.0.9" || d.MadeWith.Build != "0123abc" || !d.Recomputed {
		t.Errorf("%+v", d)
	}
}

// Lists in text are short and begin with what weighs most.
func TestMismatchesInOrderOfWeight(t *testing.T) {
	v := &verification{}
	for i := range 2 * listedPlaces {
		v.keep(mismatch{resultsName, "cells[A].x" + strings.Repeat("y", i), byInputs.message, "1", "2", byInputs})
	}
	v.keep(mismatch{resultsName, "cells[A].verdict", byInputs.message, "pass", "fail", byInputs})
	var out bytes.Buffer
	v.tell(newConsole(&out, &out))
	lines := strings.Split(out.String(), "\n")
	if len(lines) > listedPlaces+8 || !strings.Contains(out.String(), "in 25 places:\n    cells[A].verdict: pass; the inputs give fail\n") || !strings.Contains(out.String(), "and 13 more") {
		t.Errorf("%s", &out)
	}
}
