package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

func told(d *report.Document) string {
	var out bytes.Buffer
	newConsole(&out, &out).tellFindings(d)
	return out.String()
}

// lot is a document of many cells, of which every n-th failed.
func lot(cells, n int) *report.Document {
	a := &health.Assessment{Job: &job.Job{DecisionRule: job.DecisionRule{Kind: job.Simple, CoverageFactor: 2}}}
	var list []health.Cell
	for i := range cells {
		c := health.Cell{Name: fmt.Sprintf("C%04d", i), Verdict: health.Pass}
		a.Counts.Pass++
		if i%n == n-1 {
			c.Verdict = health.Fail
			a.Counts.Pass--
			a.Counts.Fail++
		}
		list = append(list, c)
	}
	a.Cells = health.CellsOf(list)
	return &report.Document{Assessment: a}
}

// Of a large lot only what did not pass is listed, and not without end.
func TestLotsAreSummedUp(t *testing.T) {
	text := told(lot(1000, 100))
	if strings.Contains(text, "C0000") || strings.Count(text, "99   fail") != 10 || !strings.Contains(text, "and 990 cells more") ||
		!strings.Contains(text, "990 pass, 10 fail under simple acceptance") {
		t.Error(text)
	}
	if text := told(lot(1000, 2)); strings.Count(text, "\n") > 60 || !strings.Contains(text, "and 980 cells more") {
		t.Error(text)
	}
	if text := told(lot(20, 100)); strings.Contains(text, "more") || !strings.Contains(text, "C0019") {
		t.Error(text)
	}
}

// Names out of files reach the terminal as text only.
func TestHostileNamesAreTold(t *testing.T) {
	d := lot(2, 2)
	d.Assessment.Cells.At(1).Name = "a\x1b]0;x\x07\nb\x1b[2J"
	if text := told(d); strings.ContainsAny(text, "\x1b\x07") {
		t.Errorf("%q", text)
	}
}

func TestFindings(t *testing.T) {
	for want, c := range map[string]health.Criterion{
		notation.NotHad:          {Quantity: job.OhmicGrowth, Lower: math.NaN(), Upper: math.NaN()},
		"0.912":                  {Quantity: job.CapacityRetention, Value: fit.NewValue(2.344/2.570, 0)},
		"2.344 Ah":               {Quantity: job.CapacityAh, Value: fit.NewValue(2.344, 0)},
		"1.50 (1.27 … 1.77)":     {Quantity: job.OhmicGrowth, Value: fit.NewValue(1.5, 0.13), ExpandedUncertainty: 0.25, Lower: 1.27, Upper: 1.77},
		"(21.30 ± 0.42)\u00a0mΩ": {Quantity: job.OhmicOhm, Value: fit.NewValue(0.0213, 0.00021), ExpandedUncertainty: 0.00042},
		"0.312 ± 0.050":          {Quantity: job.ResistanceStateOfHealth, Value: fit.NewValue(0.312, 0.025), ExpandedUncertainty: 0.050},
	} {
		if got := finding(&c); got != want {
			t.Errorf("%s: %q, want %q", c.Quantity, got, want)
		}
	}
}
