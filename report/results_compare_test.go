package report_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"
	"time"

	"ohmledger/report"
)

func compared(t testing.TB, found, expected []byte) *report.Differences {
	t.Helper()
	d, err := report.CompareResults(found, expected)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Every number that is changed is found, and named alone.
func TestEveryChangedNumberIsNamed(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	want := results(t, full())
	if d := compared(t, want, want); !d.Equal() || d.Rounding != 0 {
		t.Fatalf("differs from itself: %+v", d)
	}
	cells := bytes.Index(want, []byte(`"settings"`))
	numbers := regexp.MustCompile(`":(-?[0-9][-+.0-9e]*)[,}]`).FindAllSubmatchIndex(want[cells:], -1)
	for i := 0; i < len(numbers); i += len(numbers)/60 + 1 {
		from, to := cells+numbers[i][2], cells+numbers[i][3]
		changed := bytes.Join([][]byte{want[:from], []byte("12345.5"), want[to:]}, nil)
		d := compared(t, changed, want)
		if d.Count() != 1 || d.List[0].Found != "12345.5" || d.List[0].Expected != string(want[from:to]) {
			t.Errorf("%s: %+v", want[from:to], d)
		}
	}
}

// Places are named as a reader of the file finds them.
func TestPlacesOfDifferences(t *testing.T) {
	for name, test := range map[string]struct {
		found, expected string
		want            []report.Difference
	}{
		"cell": {`{"cells":[{"cell":"B","verdict":"pass"},{"cell":"A","verdict":"pass"}]}`, `{"cells":[{"cell":"A","verdict":"fail"},{"cell":"B","verdict":"pass"}]}`,
			[]report.Difference{{Place: "cells[A].verdict", Found: "pass", Expected: "fail"}}},
		"lost": {`{"cells":[]}`, `{"cells":[{"cell":"A"}]}`, []report.Difference{{Place: "cells[A].cell", Expected: "A"}}},
		"list": {`{"x":{"y":[1,[2]]}}`, `{"x":{"y":[1,[3],4]}}`, []report.Difference{{Place: "x.y[2][1]", Found: "2", Expected: "3"}, {Place: "x.y[3]", Expected: "4"}}},
		"named": {`{"criteria":[{"quantity":"a","v":1},{"quantity":"a","v":2}]}`, `{"criteria":[{"quantity":"a","v":1},{"quantity":"a","v":3}]}`,
			[]report.Difference{{Place: "criteria[a, 2].v", Found: "2", Expected: "3"}}},
		"twice": {`{"v":"pass","v":"fail"}`, `{"v":"fail"}`, []report.Difference{{Place: "v", Found: "pass", Expected: "fail"}, {Place: "v", Found: "fail"}}},
		"text":  {`{"v":"1"}`, `{"v":"1.0000000001"}`, []report.Difference{{Place: "v", Found: "1", Expected: "1.0000000001"}}},
		"tool":  {`{"tool":{"version":"1"}}`, `{"tool":{"version":"2"}}`, nil},
	} {
		d := compared(t, []byte(test.found), []byte(test.expected))
		if len(d.List) != len(test.want) {
			t.Errorf("%s: %+v", name, d.List)
			continue
		}
		for i, want := range test.want {
			if d.List[i] != want {
				t.Errorf("%s: %+v, want %+v", name, d.List[i], want)
			}
		}
	}
}

// Machines that round otherwise give numbers that are the same; no uncertainty is that small.
func TestRoundingOfMachines(t *testing.T) {
	d := compared(t, []byte(`{"a":1.0000000001,"b":0}`), []byte(`{"a":1,"b":0}`))
	if !d.Equal() || d.Rounding != 1 || d.Largest < 9e-11 || d.Largest > 2e-10 {
		t.Errorf("%+v", d)
	}
	if d := compared(t, []byte(`{"a":1.00001,"b":1e-300}`), []byte(`{"a":1,"b":0}`)); d.Count() != 2 {
		t.Errorf("%+v", d)
	}
}

// What is no results file is refused, and nothing that it holds takes long.
func TestHostileResults(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	began := time.Now()
	for name, text := range map[string]string{
		"empty": "", "text": "hello", "list": "[]", "cut": `{"cells":[{"cell":`, "two": "{}{}", "cells": `{"cells":5}`,
		"deep": `{"a":` + strings.Repeat("[", 1<<20), "deeper": strings.Repeat(`{"a":`, 1<<20),
	} {
		if d, err := report.CompareResults([]byte(text), []byte("{}")); err == nil {
			t.Errorf("%s: %+v", name, d)
		}
	}
	long := strings.Repeat("[", 9000) + strings.Repeat("1,", 1<<20) + "1" + strings.Repeat("]", 9000)
	compared(t, []byte(`{"a":`+long+`}`), []byte("{}"))
	many := `{"cells":[` + strings.Repeat(`{"cell":""},`, 1<<17) + `{"cell":""}]}`
	if d := compared(t, []byte(many), []byte("{}")); d.More == 0 {
		t.Errorf("%d differences", d.Count())
	}
	if took := time.Since(began); took > 2*time.Minute { // seconds, unless time grows with the square of a text's length
		t.Errorf("took %v", took)
	}
}

// FuzzCompareResults: a text differs from itself nowhere, and of two either may come first.
func FuzzCompareResults(f *testing.F) {
	whole := results(f, full())
	f.Add(string(whole[:2000]), string(whole[:2000]))
	f.Add(`{"cells":[{"cell":"A","v":[1,2]}]}`, `{"cells":[{"cell":"A","v":[1,3]}],"lot":null}`)
	f.Fuzz(func(t *testing.T, a, b string) {
		if d, err := report.CompareResults([]byte(a), []byte(a)); err == nil && (!d.Equal() || d.Rounding > 0) {
			t.Errorf("%q differs from itself: %+v", a, d)
		}
		one, errOne := report.CompareResults([]byte(a), []byte(b))
		two, errTwo := report.CompareResults([]byte(b), []byte(a))
		if (errOne == nil) != (errTwo == nil) || errOne == nil && one.Equal() != two.Equal() {
			t.Errorf("%+v, %v; the other way %+v, %v", one, errOne, two, errTwo)
		}
	})
}
