package pdf

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// The first page names the warnings about cells that passed; only where there are none does it say so.
func TestFrontNamesWarningsOfCellsThatPassed(t *testing.T) {
	d := specimen(t, 2, 2)
	for i := range d.Assessment.Cells.Len() {
		d.Assessment.Cells.At(i).Verdict = health.Pass
		for k := range d.Assessment.Cells.At(i).Measurements {
			d.Assessment.Cells.At(i).Measurements[k].Quality.Findings = nil
		}
	}
	const none = "the checks warn of none of the judged measurements"
	if page := pagesOf(t, bytesOf(t, Options{}, d))[0]; !strings.Contains(page, none) {
		t.Errorf("first page %q", page)
	}
	last := d.Assessment.Cells.At(1).Measurements
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

// What decided names every limit that a cell does not keep, apart by whether the value misses it; a long reason keeps whole sentences.
func TestSummaryNamesWhatDecided(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	fails := func(q job.Quantity, p float64) health.Criterion {
		return health.Criterion{Quantity: q, Verdict: health.Fail, ProbabilityOfConformity: p}
	}
	for _, k := range []struct {
		verdict  health.Verdict
		criteria []health.Criterion
		want     string
	}{
		{health.Fail, []health.Criterion{fails(job.ChargeTransferGrowth, 0.9), fails(job.OhmicGrowth, 0), fails(job.CapacityRetention, math.NaN())},
			"Misses the limit: R_{Ω} over baseline and capacity retained. Meets the limit by less than its U: R_{ct} over baseline."},
		{health.Fail, []health.Criterion{fails(job.OhmicGrowth, 0), {Quantity: job.CapacityAh, Verdict: health.Pass}}, "Misses the limit: R_{Ω} over baseline."},
		{health.NotEvaluated, nil, strings.Repeat("Short. ", 20) + "Short."},
	} {
		cell := &health.Cell{Verdict: k.verdict, Criteria: k.criteria, Latest: -1, Reason: strings.Repeat("Short. ", 40)}
		if got := c.summaryReason(cell); got != k.want && !(k.criteria == nil && strings.HasPrefix(k.want, got) && len(got) > 100 && strings.HasSuffix(got, ".")) {
			t.Errorf("%q, want %q", got, k.want)
		}
	}
}

// A table of budgets holds two at most, so that its columns stay wide enough for their heads.
func TestBudgetsStandTwoAbreast(t *testing.T) {
	d := specimen(t, 1, 2)
	cell := d.Assessment.Cells.At(0)
	had := cell.Criteria[0]
	for _, q := range []job.Quantity{job.OhmicOhm, job.ChargeTransferOhm} {
		had.Quantity = q
		cell.Criteria = append(cell.Criteria, had)
	}
	all := strings.Join(pagesOf(t, bytesOf(t, Options{}, d)), " ")
	want := (len(cell.Criteria) + 1) / 2
	if got := strings.Count(all, "combined standard uncertainty"); got < 2 || got > want {
		t.Errorf("%d tables of budgets, want up to %d", got, want)
	}
}

// What changed against an amended report is not claimed to be stated where there are no remarks.
func TestAmendedReportClaimsNoRemarks(t *testing.T) {
	d := specimen(t, 1, 1)
	d.Assessment.Job.Report.Amends = "TCL-2026-040"
	for remarks, want := range map[string]string{"": "What changed is not stated.", "Two dates corrected.": "What changed: see the remarks."} {
		d.Assessment.Job.Report.Remarks = remarks
		if page := pagesOf(t, bytesOf(t, Options{}, d))[0]; !strings.Contains(page, want) {
			t.Errorf("%q not found in %q", want, page)
		}
	}
}
