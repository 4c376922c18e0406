package report

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"
)

// A laboratory may name verdicts as it likes, but not one by the name of another.
func TestVerdictsKeepWordsOfTheirOwn(t *testing.T) {
	for blocks, want := range map[string]string{
		`{{define "verdict.pass"}}conforms{{end}}`:                                          "",
		`{{define "verdict.pass"}}PASS{{end}}`:                                              "",
		`{{define "verdict.pass"}}ok{{end}}{{define "verdict.conditional-pass"}}ok?{{end}}`: "",
		`{{define "verdict.fail"}}Pass{{end}}`:                                              `wording/own.tmpl:1:26: the block "verdict.fail" says "pass", which is the word of "verdict.pass"`,
		`{{define "verdict.pass"}}fail{{end}}{{define "verdict.fail"}}pass{{end}}`:          `wording/own.tmpl:1:26: the block "verdict.pass" says "fail"`,
		`{{define "verdict.fail"}}ok{{end}}{{define "verdict.not-evaluated"}} ok{{end}}`:    `wording/own.tmpl:1:26: the block "verdict.fail" says "ok"`,
		`{{define "verdict.fail"}}{{template "verdict.pass"}}{{end}}`:                       `wording/own.tmpl:1:26: the block "verdict.fail" says "pass"`,
		`{{define "side.max"}}most{{end}}{{define "verdict.conditional-fail"}}fail{{end}}`:  `wording/own.tmpl:1:70: the block "verdict.conditional-fail" says "fail"`,
	} {
		_, err := loadWords(os.DirFS("../templates"), "en", fstest.MapFS{"own.tmpl": {Data: []byte(blocks)}}, "wording")
		if (err == nil) != (want == "") || err != nil && !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%s: %v, want %q", blocks, err, want)
		}
	}
}
