package pdf

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
)

// The first page names the warnings about cells that passed; only where there are none does it say so.
func TestFrontNamesWarningsOfCellsThatPassed(t *testing.T) {
	d := specimen(t, 2, 2)
	for i := range d.Assessment.Cells {
		d.Assessment.Cells[i].Verdict = health.Pass
		for k := range d.Assessment.Cells[i].Measurements {
			d.Assessment.Cells[i].Measurements[k].Quality.Findings = nil
		}
	}
	const none = "the checks warn of none of the judged measurements"
	if page := pagesOf(t, bytesOf(t, Options{}, d))[0]; !strings.Contains(page, none) {
		t.Errorf("first page %q", page)
	}
	last := d.Assessment.Cells[1].Measurements
	last[len(last)-1].Quality.Findings = []health.Finding{{Code: "invented-finding", Severity: health.Warning, Message: "The holder was loose.", Advice: "Fasten the holder."}}
	page := pagesOf(t, bytesOf(t, Options{}, d))[0]
	if strings.Contains(page, none) || !strings.Contains(page, "A-002 passes, with a warning: The holder was loose. Fasten the holder.") {
		t.Errorf("first page %q", page)
	}
}

// No smallest probability is stated of a cell that has a limited quantity without one, nor of values without stated uncertainty.
func TestLeastConformityNeedsAllQuantities(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	had := health.Criterion{Verdict: health.Pass, ProbabilityOfConformity: 0.97}
	missing := health.Criterion{Verdict: health.NotEvaluated, ProbabilityOfConformity: math.NaN()}
	unstated := health.Criterion{Verdict: health.Pass, Unstated: true, ProbabilityOfConformity: math.NaN()}
	for _, k := range []struct {
		criteria []health.Criterion
		want     string
	}{{[]health.Criterion{had, unstated}, "97"}, {[]health.Criterion{had, missing}, "—"}, {[]health.Criterion{unstated}, "—"}, {nil, "—"}} {
		if got := c.leastConformity(&health.Cell{Criteria: k.criteria}); !strings.Contains(got, k.want) {
			t.Errorf("%+v: %q, want %q", k.criteria, got, k.want)
		}
	}
}

// A ratio whose interval on the logarithm reaches beyond the limit shows that it does, where an even one would not.
func TestRatiosShowTheIntervalThatTheyAreDecidedOn(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	shown := c.growth(health.Growth{Ratio: fit.NewValue(1.40, 0.28), LogU: 0.2})
	if !slices.Equal(strings.Fields(shown), strings.Fields("0.94 … 2.09")) {
		t.Errorf("%q", shown)
	}
}

func compositionOf(t *testing.T, d *report.Document) *composition {
	t.Helper()
	c, err := compose(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return c
}
