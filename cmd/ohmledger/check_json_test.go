package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"math"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/templates"
)

// checkSchemaFile is read once, as tests change the folder they are in.
var checkSchemaFile = sync.OnceValues(func() (*jsonschema.Schema, error) {
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(must(fs.ReadFile(templates.FS(), "schema/check.schema.json"))))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("check", document); err != nil {
		return nil, err
	}
	return c.Compile("check")
})

// againstSchema holds a document against the JSON Schema that is published for it.
func againstSchema(t *testing.T, document []byte) error {
	t.Helper()
	schema, err := checkSchemaFile()
	if err != nil {
		t.Fatal(err)
	}
	instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(document))
	if err != nil {
		return err
	}
	return schema.Validate(instance)
}

func validCheck(t *testing.T, document []byte) {
	t.Helper()
	if err := againstSchema(t, document); err != nil {
		t.Errorf("%v\n%.2000s", err, document)
	}
}

// Every form of the command keeps the schema, and the same spectra give the same bytes.
func TestCheckKeepsItsSchema(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	t.Chdir(t.TempDir())
	measured(t, ".", map[string]bench{"a.csv": {noise: 1e-3}, "b.csv": {noise: 1e-3, leadsOhm: 0.04, leadsH: 5e-6, seed: 1},
		"bad.csv": {noise: 0.5}, "short.csv": {noise: 1e-3, lowest: 4000}})
	for _, c := range []struct {
		code  int
		files []string
	}{{0, []string{"a.csv"}}, {0, []string{"b.csv"}}, {1, []string{"bad.csv"}}, {0, []string{"a.csv", "b.csv"}}, {1, []string{"a.csv", "bad.csv"}}} {
		out, _ := checking(t, c.code, append(c.files, "--json")...)
		again, _ := checking(t, c.code, append(c.files, "--json")...)
		validCheck(t, []byte(out))
		if out != again {
			t.Errorf("%q gives other bytes the second time", c.files)
		}
	}
	run([]string{"demo"}, io.Discard, io.Discard)
	out, _ := checking(t, exitFailed, "ohmledger-demo/job", "--json")
	validCheck(t, []byte(out))
	var stdout, stderr bytes.Buffer // too short to be judged, whatever the verdict
	run([]string{"check", "short.csv", "--json"}, &stdout, &stderr)
	validCheck(t, stdout.Bytes())
}

// The schema is strict: what it does not know is noticed, and so is what is left out.
func TestSchemaIsStrict(t *testing.T) {
	t.Chdir(t.TempDir())
	measured(t, ".", map[string]bench{"a.csv": {noise: 1e-3}})
	out, _ := checking(t, exitDone, "a.csv", "--json")
	for old, new := range map[string]string{
		`"job"`: `"jobs"`, `"worth keeping"`: `"fine"`, `"points": 61`: `"points": 0`, `ohmledger/check/1`: `ohmledger/check/2`,
		`"accepted": true`: `"accepted": 1`, `"findings": []`: `"findings": null`,
	} {
		spoilt := strings.Replace(out, old, new, 1)
		if spoilt == out {
			t.Errorf("%s does not stand in the document", old)
		} else if againstSchema(t, []byte(spoilt)) == nil {
			t.Errorf("%s passes for %s", new, old)
		}
	}
}

func TestFactsAsJSON(t *testing.T) {
	for want, fact := range map[string]health.Fact{
		`3.5`:                                    {Value: 3.5, Unit: health.Ohm},
		`null`:                                   {Value: math.NaN(), Unit: health.Ohm},
		`"two"`:                                  {Text: "two", Unit: health.Word},
		`"2026-03-14"`:                           {At: time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC), Unit: health.Word},
		`"why"`:                                  {Within: &health.Statement{Code: "why"}, Unit: health.Word},
		`{"standard_uncertainty":0.1,"value":2}`: {Value: 2, U: 0.1, Unit: health.Ohm},
	} {
		if got := string(must(json.Marshal(factOf(fact)))); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// Faults keep their places; a file as a whole has none.
func TestFaultsAsJSON(t *testing.T) {
	list := faultsOf("a.csv", spectrum.Errors{{File: "a.csv", Line: 2, Column: 5, Message: "m", Remedy: "r"}, {File: "a.csv", Message: "n"}})
	if len(list) != 2 || *list[0].Line != 2 || *list[0].Column != 5 || *list[0].Remedy != "r" || list[1].Line != nil {
		t.Errorf("%+v", list)
	}
	if list := faultsOf("a.csv", errors.New("gone")); len(list) != 1 || list[0].Message != "gone" || list[0].File != "a.csv" {
		t.Errorf("%+v", list)
	}
}
