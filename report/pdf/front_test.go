package pdf

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

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

// Of a cell that passes the first page tells the warnings of the judged measurement, all or how many, apart from why a later
// spectrum is rejected, which it names by its day.
func TestFrontTellsJudgedFromLaterWarnings(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 3))
	cell := c.doc.Assessment.Cells.At(0)
	warning := func(code string) health.Finding {
		return health.Finding{Code: code, Severity: health.Warning, Message: "Saw " + code + ".", Advice: "Mend " + code + "."}
	}
	cell.Verdict, cell.Latest, cell.Measurements[1].Quality.Findings = health.Pass, 1, nil
	rejected := &cell.Measurements[2]
	rejected.Quality.Accepted = false
	rejected.Quality.Findings = []health.Finding{{Code: "jump", Severity: health.Reject, Message: "It jumps.", Advice: "Repeat."}}
	later := "A-001 passes; its latest spectrum, of " + c.numbers.Date(rejected.Row.MeasuredAt) + ", is rejected: It jumps. Repeat."
	for _, k := range []struct {
		findings []health.Finding
		want     []string
	}{
		{nil, []string{later}},
		{[]health.Finding{warning("a")}, []string{"A-001 passes, with a warning: Saw a. Mend a.", later}},
		{[]health.Finding{warning("a"), warning("b"), warning("b")}, []string{"A-001 passes, with warnings: Saw a. Mend a. Also: Saw b.", later}},
		{[]health.Finding{warning("a"), warning("b"), warning("c")}, []string{"A-001 passes, with warnings: Saw a. Mend a. And 2 more, named with the cell.", later}},
	} {
		cell.Measurements[1].Quality.Findings = k.findings
		var got []string
		for _, p := range c.nextSteps() {
			got = append(got, unmarked(p))
		}
		if !slices.Equal(got, k.want) {
			t.Errorf("%q, want %q", got, k.want)
		}
	}
}

// A cell that could not be judged shows how many later spectra are rejected, but once.
func TestFrontCountsLaterRejectedOfUnjudged(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 3))
	cell := c.doc.Assessment.Cells.At(0)
	for code, want := range map[string]int{"only-baseline-accepted": 0, "arcs-overdriven": 2} {
		cell.Verdict, cell.Latest = health.NotEvaluated, 0
		cell.Criteria = []health.Criterion{{Quantity: job.OhmicGrowth, Verdict: health.NotEvaluated, Reason: "None.", Because: health.Statement{Code: code}}}
		if got := c.lack(cell).Later; got != want {
			t.Errorf("%s: %d, want %d", code, got, want)
		}
	}
}

// A grade whose limits a cell meets though it does not pass those of the job stands in brackets, and the note says why; where there
// are no limits there is nothing to pass.
func TestGradesOfCellsThatDoNotPassStandInBrackets(t *testing.T) {
	d := specimen(t, 2, 2)
	d.Assessment.Job.Grades = []job.Grade{{Name: "B", Limits: []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 1.4}}}}
	for i, v := range []health.Verdict{health.Pass, health.Fail} {
		d.Assessment.Cells.At(i).Grade, d.Assessment.Cells.At(i).Verdict = "B", v
	}
	c := compositionOf(t, d)
	if got := c.grade(d.Assessment.Cells.At(0)) + c.grade(d.Assessment.Cells.At(1)) + c.identityOf(d.Assessment.Cells.At(1)).Grade; got != "B(B)(B)" {
		t.Errorf("%q", got)
	}
	const note = "Grade in brackets: its limits are met"
	if page := pagesOf(t, bytesOf(t, Options{}, d))[0]; !strings.Contains(page, note) {
		t.Errorf("%q", page)
	}
	c.job.Limits = nil
	if got := c.grade(d.Assessment.Cells.At(1)); got != "B" {
		t.Errorf("%q", got)
	}
	d.Assessment.Cells.At(1).Verdict = health.Pass
	if compositionOf(t, d).ruleData().GradeOnly {
		t.Error("nothing stands in brackets")
	}
}

// Whether the value misses the limit or meets it by too little: a cell that fails with the limit inside its interval is told of in the
// same words, and one with the limit outside is not.
func TestCloseFailuresAreToldOfAlike(t *testing.T) {
	fails := func(lower, value, upper float64) *health.Cell {
		return &health.Cell{Verdict: health.Fail, Criteria: []health.Criterion{
			{Quantity: job.OhmicGrowth, Verdict: health.Pass, Limit: 2, Lower: 1, Upper: 1.1},
			{Quantity: job.ChargeTransferGrowth, Verdict: health.Fail, Limit: 2, Value: fit.NewValue(value, 0.1), Lower: lower, Upper: upper}}}
	}
	nan := math.NaN()
	if !failsClosely(fails(1.2, 2.1, 3.5)) || !failsClosely(fails(1.8, 1.95, 2.1)) || failsClosely(fails(2.3, 3.2, 4.4)) || failsClosely(fails(nan, 3.2, nan)) {
		t.Error("close where the limit lies within the interval, and nowhere else")
	}
}

// No smallest probability is stated of a cell that is not evaluated, nor of values without stated uncertainty; where a cell fails
// although a limited quantity could not be had, it is a bound: what its section states, and no more.
func TestLeastConformityNeedsAllQuantities(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	had := health.Criterion{Verdict: health.Pass, ProbabilityOfConformity: 0.97}
	fails := health.Criterion{Verdict: health.Fail, ProbabilityOfConformity: 0.05}
	failsSurely := health.Criterion{Verdict: health.Fail, ProbabilityOfConformity: 1e-9}
	missing := health.Criterion{Verdict: health.NotEvaluated, ProbabilityOfConformity: math.NaN()}
	unstated := health.Criterion{Verdict: health.Pass, Unstated: true, ProbabilityOfConformity: math.NaN()}
	for _, k := range []struct {
		verdict  health.Verdict
		criteria []health.Criterion
		want     string
	}{
		{health.Pass, []health.Criterion{had, unstated}, "97.0\u00a0%"}, {health.Fail, []health.Criterion{had, fails}, "5.0\u00a0%"},
		{health.Fail, []health.Criterion{missing, fails}, "≤ 5.0\u00a0%"}, {health.Fail, []health.Criterion{missing, failsSurely}, "< 0.1\u00a0%"},
		{health.NotEvaluated, []health.Criterion{had, missing}, "—"}, {health.Pass, []health.Criterion{unstated}, "—"}, {health.NotEvaluated, nil, "—"},
	} {
		if got := c.leastConformity(&health.Cell{Verdict: k.verdict, Criteria: k.criteria}); got != k.want {
			t.Errorf("%+v: %q, want %q", k.criteria, got, k.want)
		}
	}
}

// The first page says which spectra before the judged one do not count: of one its day, of more how many.
func TestFrontNamesRejectedSpectra(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 4))
	cell := c.doc.Assessment.Cells.At(0)
	for _, k := range []struct {
		rejected []int
		want     string
	}{{nil, ""}, {[]int{1}, " Spectrum of 2025-03-18 rejected."}, {[]int{1, 2}, " 2 of 4 spectra rejected."}} {
		for i := range cell.Measurements {
			cell.Measurements[i].Quality.Accepted = !slices.Contains(k.rejected, i)
		}
		cell.Measurements[1].Row.MeasuredAt = time.Date(2025, 3, 18, 0, 0, 0, 0, time.UTC)
		decided := c.summaryDecision(cell)
		if got := c.summaryReason(cell); got != decided+k.want {
			t.Errorf("%q, want %q", got, decided+k.want)
		}
	}
}

// The history gives of each growth its value with the factor to the ends of its interval, and of the baseline the one that it is.
func TestHistoryGivesGrowthsWithTheirValue(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	for _, k := range []struct {
		u    float64
		want string
	}{{0.02, "1.400\u202f×/÷\u202f1.029"}, {0, "1.4"}} {
		if got := c.growth(health.Growth{Ratio: fit.NewValue(1.40, k.u), LogU: k.u / 1.4}); got != k.want {
			t.Errorf("%q, want %q", got, k.want)
		}
	}
}

// A record is as high when it is set as when its page was planned: short where that was short.
func TestSummaryRecordsStayAsPlanned(t *testing.T) {
	c := compositionOf(t, specimen(t, 2, 2))
	c.doc.Assessment.Cells.At(0).Verdict, c.doc.Assessment.Cells.At(0).Reason = health.Pass, "All limits are met."
	said := func(l listing) string { r := l.record(0); return r[len(r)-1].text }
	long := c.summaryListing(nil, nil)
	c.give = gives[0]
	short := c.summaryListing(nil, nil)
	for _, give := range []float64{0, gives[0]} {
		c.give = give
		if got := []string{said(long), said(short)}; got[0] != "All limits are met." || got[1] != "" || c.give != give {
			t.Errorf("%q with %v mm given, %v after", got, give, c.give)
		}
	}
}

// What could not be had stands where numbers end, in columns with decimal signs above one another too.
func TestDashesStandWhereNumbersEnd(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	records := [][]entry{entries("0.912"), entries("—"), entries("12.75")}
	s := newTableSetter(c, table{columns: []column{{head: "x", setting: byPoint}}, records: records})
	widest := s.textProps(0, records[2][0]).Right
	if dash, number := s.textProps(0, records[1][0]).Right, s.textProps(0, records[0][0]).Right; dash != number || widest <= number {
		t.Errorf("room right of the dash %v mm, of three decimals %v mm, of two %v mm", dash, number, widest)
	}
}

// A ratio whose interval on the logarithm reaches beyond the limit shows that it does, where an even one would not.
func TestRatiosShowTheIntervalThatTheyAreDecidedOn(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	shown := c.grown(health.Growth{Ratio: fit.NewValue(1.40, 0.28), LogU: 0.2})
	if !slices.Equal(strings.Fields(shown), strings.Fields("1.40 0.94 … 2.09")) {
		t.Errorf("%q", shown)
	}
}

// compositionOf is a report before it is written; that of a lot without the sections of its cells.
func compositionOf(t *testing.T, d *report.Document) *composition {
	t.Helper()
	cells := AllCells
	if d.Assessment.Lot != nil {
		cells = NoCells
	}
	c, err := compose(d, Options{Cells: cells})
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
			"Misses the limit: R_{Ω}\u00a0growth and capacity retention. Meets the limit by less than its U: R_{ct}\u00a0growth."},
		{health.Fail, []health.Criterion{fails(job.OhmicGrowth, 0), {Quantity: job.CapacityAh, Verdict: health.Pass}}, "Misses the limit: R_{Ω}\u00a0growth."},
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

// Who reads the rule on the first page or under Method learns that growths are decided on their logarithms; where no growth is judged
// nothing says so.
func TestRulesSayThatGrowthsAreDecidedOnLogarithms(t *testing.T) {
	for _, language := range []string{"en", "de"} {
		d := specimen(t, 1, 2)
		d.Assessment.Job.Language = language
		c := compositionOf(t, document(t, d.Assessment))
		for _, key := range []string{"rule.guarded", "rule.four-way", "method.rule.guarded", "method.rule.four-way"} {
			said := c.say(key, c.ruleData())
			data := c.ruleData()
			data.Logarithms = false
			if !strings.Contains(said, "ogarithm") || strings.Contains(c.say(key, data), "ogarithm") || !c.ruleData().Logarithms {
				t.Errorf("%s, %s: %q", language, key, said)
			}
		}
		c.job.Limits = []job.Limit{{Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.05}}
		if c.ruleData().Logarithms {
			t.Error("no growth is judged")
		}
	}
}
