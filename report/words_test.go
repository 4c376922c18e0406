package report

import (
	"os"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
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
		{{define "verdict.fail"}}{{template "verdict.pass"}} {{.Nothing}}{{end}}`)}})
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
	want := `wording/own.tmpl:3:58: executing "verdict.fail" at <.Nothing>: can't evaluate field Nothing in type struct {}`
	if err := w.Err(); err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
}

func TestOverrideFaults(t *testing.T) {
	_, err := shipped(t, fstest.MapFS{
		"a.tmpl": {Data: []byte("{{define \"verdict.pass\"}}conforms{{end}}\n{{define \"verdict.passed\"}}x{{end}}\n" +
			"{{define \"unit\"}}x{{end}}\n{{define \"side.max\"}}{{if .}}{{template \"sides\"}}{{end}}{{end}}")},
		"b.tmpl": {Data: []byte("stray\n{{define \"verdict.pass\"}}ok{{end}}")},
		"c.tmpl": {Data: []byte("{{define \"verdict.pass\"}}\n{{nosuch}}{{end}}")},
	})
	if err == nil {
		t.Fatal("no error")
	}
	got := strings.Split(err.Error(), "\n")
	for i, want := range []string{
		`wording/a.tmpl:2:28: there is no block "verdict.passed"; known are verdict.conditional-fail, `,
		`wording/a.tmpl:3:18: there is no block "unit"; known are `,
		`wording/a.tmpl:4:41: there is no block "sides"; known are `,
		`wording/b.tmpl:1:1: text outside of a block`,
		`wording/b.tmpl:2:26: the block "verdict.pass" is already defined in wording/a.tmpl`,
		`wording/c.tmpl:2: function "nosuch" not defined`,
	} {
		if i >= len(got) || !strings.HasPrefix(got[i], want) {
			t.Errorf("fault %d of\n%s\nwant %s", i, err, want)
		}
	}
	if len(got) != 6 {
		t.Errorf("%d faults, want 6:\n%v", len(got), err)
	}
}

func TestUnknownLanguage(t *testing.T) {
	if _, err := loadWords(os.DirFS("../templates"), "xx", nil, ""); err == nil {
		t.Error("sentences in a language that does not exist")
	}
}
