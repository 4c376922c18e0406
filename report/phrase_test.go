package report

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"ohmledger/health"
	"ohmledger/report/notation"
)

func TestFactsInSentences(t *testing.T) {
	english, german := notation.Notation{}, notation.NotationOf("de")
	day := time.Date(2026, 3, 14, 9, 30, 0, 0, time.UTC)
	for want, got := range map[string]string{
		"20.2\u00a0mΩ":  told{health.Fact{Value: 0.020153, Unit: health.Ohm}, english}.String(),
		"20,2\u00a0mΩ":  told{health.Fact{Value: 0.020153, Unit: health.Ohm}, german}.String(),
		"−5\u00a0mΩ":    told{health.Fact{Value: -0.005, Unit: health.Ohm}, english}.Signed(),
		"+5.21\u00a0mΩ": told{health.Fact{Value: 0.0052055, Unit: health.Ohm}, english}.Signed(),
		"5.2\u00a0mΩ":   told{health.Fact{Value: -0.0052, Unit: health.Ohm}, english}.Size(),
		"0.34\u00a0mΩ":  told{health.Fact{Value: 0.0052, U: 0.000337, Unit: health.Ohm}, english}.Uncertainty(),
		"12.2\u00a0%":   told{health.Fact{Value: 0.1217, Unit: health.Fraction}, english}.String(),
		"55\u00a0%":     told{health.Fact{Value: 55, Unit: health.PerCent}, english}.String(),
		"1.5\u00a0µH":   told{health.Fact{Value: 1.5e-6, Unit: health.Henry}, english}.String(),
		"1.42\u00a0mHz": told{health.Fact{Value: 0.00142, Unit: health.Hertz}, english}.String(),
		"10\u00a0kHz":   told{health.Fact{Value: 1e4, Unit: health.Hertz}, english}.String(),
		"29\u00a0min":   told{health.Fact{Value: 29, Unit: health.Minutes}, english}.String(),
		"−12.5\u00a0°C": told{health.Fact{Value: -12.5, Unit: health.Celsius}, english}.String(),
		"3":             told{health.Fact{Value: 3, Unit: health.Count}, english}.String(),
		"0":             told{health.Fact{}, english}.String(),
		"4-wire":        told{health.Fact{Text: "4-wire", Unit: health.Word}, english}.String(),
		"":              told{health.Fact{Unit: health.Word}, english}.String(),
		"2026-03-14":    told{health.Fact{At: day, Unit: health.Word}, english}.String(),
		"14.03.2026":    told{health.Fact{At: day, Unit: health.Word}, german}.String(),
		notation.NotHad: told{health.Fact{Value: math.NaN(), Unit: health.Ohm}, english}.String(),
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// Every finding that there can be has its four sentences in the shipped wording.
func TestFindingsHaveTheirBlocks(t *testing.T) {
	w, err := shipped(t, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, code := range health.FindingCodes() {
		for _, part := range []string{".seen", ".size", ".likely", ".do"} {
			if !w.Has("finding." + code + part) {
				t.Errorf("finding.%s%s is missing", code, part)
			}
		}
	}
}

// A laboratory's own sentence stands in place of the shipped one, and has the same facts.
func TestOwnSentenceOfAFinding(t *testing.T) {
	w, err := shipped(t, fstest.MapFS{"own.tmpl": {Data: []byte(
		`{{define "finding.drift-during-sweep.size"}}Drift {{.change.Signed}}, u = {{.change.Uncertainty}}, at {{.lowest}}.{{end}}`)}})
	if err != nil {
		t.Fatal(err)
	}
	got := w.Phrase("finding.drift-during-sweep.size", []health.Fact{
		{Name: "change", Value: 0.097, U: 0.0042, Unit: health.Fraction}, {Name: "lowest", Value: 0.00142, Unit: health.Hertz},
	})
	if want := "Drift +9.7 %, u = 0.42 %, at 1.42 mHz."; strings.ReplaceAll(got, "\u00a0", " ") != want {
		t.Errorf("%q", got)
	}
}
