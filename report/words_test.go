package report

import (
	"errors"
	"os"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"ohmledger/fit/spectrum"
	"ohmledger/health"
)

func shipped(t *testing.T, overrides fstest.MapFS) (*Words, error) {
	t.Helper()
	if overrides == nil {
		return loadWords(os.DirFS("../templates"), "en", nil, "")
	}
	return loadWords(os.DirFS("../templates"), "en", overrides, "wording")
}

func TestSay(t *testing.T) {
	w, err := shipped(t, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := w.Say("verdict.not-evaluated", nil); got != "not evaluated" {
		t.Errorf("%q", got)
	}
	if w.Has("verdict.perhaps") {
		t.Error("a block that nobody wrote exists")
	}
	defer func() {
		if recover() == nil {
			t.Error("an unknown block did not panic")
		}
	}()
	w.Say("verdict.perhaps", nil)
}

func TestParagraphs(t *testing.T) {
	got := paragraphs("\n  one\n two\u00a0mΩ \n\n \t\nthree\r\n\r\n")
	if want := []string{"one two\u00a0mΩ", "three"}; !reflect.DeepEqual(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestEnumerate(t *testing.T) {
	for want, items := range map[string][]string{
		"": nil, "a": {"a"}, "a and b": {"a", "b"}, "a, b and c": {"a", "b", "c"},
	} {
		if got := enumerate(items, "and"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestOverrideWins(t *testing.T) {
	w, err := shipped(t, fstest.MapFS{"own.tmpl": {Data: []byte(`
		{{define "verdict.pass"}}conforms{{end}}
		{{define "verdict.fail"}}{{template "verdict.pass"}} not, {{index . 3}}{{end}}`)}})
	if err != nil {
		t.Fatal(err)
	}
	if got := w.Say("verdict.pass", nil); got != "conforms" {
		t.Errorf("own block: %q", got)
	}
	if err := w.Err(); err != nil {
		t.Errorf("before any fault: %v", err)
	}
	if got := w.Say("verdict.fail", struct{}{}); got != "fail" {
		t.Errorf("own block that cannot take its data: %q, want the shipped sentence", got)
	}
	w.Say("verdict.fail", struct{}{})
	want := `wording/own.tmpl:3:63: executing "verdict.fail" at <index . 3>: error calling index: can't index item of type struct {}`
	if err := w.Err(); err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
}

// TestOverrideOfATerm: a block that other blocks have in them is replaced there as well, and at whatever depth.
func TestOverrideOfATerm(t *testing.T) {
	w, err := shipped(t, fstest.MapFS{"own.tmpl": {Data: []byte(`{{define "term.measurand"}}R of {{.}}{{end}}`)}})
	if err != nil {
		t.Fatal(err)
	}
	facts := []health.Fact{{Name: "resistance", Text: "ohmic_ohm", Unit: health.Word}, {Name: "why", Text: "because", Unit: health.Word}}
	if got, want := w.Phrase("reason.not-resolved", facts), "The R of ohmic_ohm is not resolved: because."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if err := w.Err(); err != nil {
		t.Error(err)
	}
}

// TestOverrideThatNeverEnds: a block that grows without bound is given up.
func TestOverrideThatNeverEnds(t *testing.T) {
	for _, block := range []string{`{{range 99999}}0123456789abcdef{{end}}`, `{{template "verdict.pass"}}`} {
		w, err := shipped(t, fstest.MapFS{"own.tmpl": {Data: []byte(`{{define "verdict.pass"}}` + block + `{{end}}`)}})
		if err != nil {
			t.Fatal(err)
		}
		if got := w.Say("verdict.pass", nil); got != "pass" {
			t.Errorf("%s: %.40q", block, got)
		}
		if err := w.Err(); err == nil || !strings.HasPrefix(err.Error(), "wording/own.tmpl:1:") {
			t.Errorf("%s: %v", block, err)
		}
	}
}

func TestOverrideMayUseWhatTheShippedBlockUses(t *testing.T) {
	_, err := shipped(t, fstest.MapFS{"own.tmpl": {Data: []byte(
		`{{define "workbook.grade"}}{{.Name}} ({{range .Limits}}{{.}}; {{end}}{{len $.Limits}}){{end}}`)}})
	if err != nil {
		t.Error(err)
	}
}

func TestOverrideFaults(t *testing.T) {
	_, err := shipped(t, fstest.MapFS{
		"a.tmpl": {Data: []byte("{{define \"verdict.pass\"}}conforms{{end}}\n{{define \"verdict.passed\"}}x{{end}}\n" +
			"{{define \"zzz\"}}x{{end}}\n{{define \"side.max\"}}{{if .}}{{template \"side.mx\"}}{{end}}{{end}}\n" +
			"{{define \"workbook.grade\"}}{{with .Name}}{{$.Cells}}{{end}}{{end}}\n{{define \"side.min\"}}{{len (.A)}}{{end}}")},
		"b.tmpl": {Data: []byte("stray\n{{define \"verdict.pass\"}}ok{{end}}")},
		"c.tmpl": {Data: []byte("{{define \"verdict.pass\"}}\n{{nosuch}}{{end}}")},
	})
	if err == nil {
		t.Fatal("no error")
	}
	got := strings.Split(err.Error(), "\n")
	want := []string{
		`wording/a.tmpl:2:28: there is no block "verdict.passed"; the nearest known is "verdict.pass"`,
		`wording/a.tmpl:3:17: there is no block "zzz"; known are and, baseline.…, `,
		`wording/a.tmpl:4:41: there is no block "side.mx"; the nearest known is "side.max"`,
		`wording/a.tmpl:5:45: the block "workbook.grade" has no value .Cells; it has .Limits .Name`,
		`wording/a.tmpl:6:29: the block "side.min" has no value .A; it has none but {{.}}`,
		`wording/b.tmpl:1:1: text outside of a block`,
		`wording/b.tmpl:2:26: the block "verdict.pass" is already defined in wording/a.tmpl`,
		`wording/c.tmpl:2: there is no function "nosuch"; blocks may use if, range, with, template, eq, ne, lt, gt, and, or, not, len, index, printf, plural and list, and a text stands in quotes`,
	}
	for i := range want {
		if i >= len(got) || !strings.HasPrefix(got[i], want[i]) {
			t.Errorf("fault %d of\n%s\nwant %s", i, err, want[i])
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d faults, want %d:\n%v", len(got), len(want), err)
	}
}

func TestUnknownLanguage(t *testing.T) {
	_, err := loadWords(os.DirFS("../templates"), "xx", nil, "")
	if err == nil || !strings.HasPrefix(err.Error(), `job.yaml: language: there are no sentences in "xx"; there are in `) {
		t.Errorf("%v", err)
	}
}

// FuzzOverride: a laboratory's file gives either positioned faults or sentences that can be said.
func FuzzOverride(f *testing.F) {
	for _, seed := range []string{
		"", "stray", `{{define "verdict.pass"}}conforms{{end}}`, `{{define "verdict.pass"}}{{template "verdict.pass"}}{{end}}`,
		`{{define "verdict.pass"}}{{range 99999}}0123456789abcdef{{end}}{{end}}`, `{{define "verdict.pass"}}{{.x}}{{end}}`, "{{define", "\xff{{end}}",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		w, err := shipped(t, fstest.MapFS{"own.tmpl": {Data: []byte(text)}})
		if err != nil {
			var faults spectrum.Errors
			if w != nil || !errors.As(err, &faults) || faults[0].File == "" {
				t.Fatalf("sentences together with an error, or an error without a place: %v", err)
			}
			return
		}
		if w.Say("verdict.pass", nil) == "" && w.Err() == nil && !strings.Contains(text, "verdict.pass") {
			t.Error("a shipped sentence is gone")
		}
	})
}
