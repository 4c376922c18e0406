package pdf

import (
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// TestContents holds the list of ISO/IEC 17025:2017, clauses 7.8.2, 7.8.3, 7.8.6, 7.8.7 and 7.8.8, in
// own words, against the text of a report: each item must be found, on the first page where it says so.
func TestContents(t *testing.T) {
	d := specimen(t, 7, 4)
	d.Assessment.Job.Report.Amends = "TCL-2026-017"
	accepted := &d.Assessment.Cells.At(0).Measurements[1]
	accepted.Quality = health.Quality{AcceptedByHand: "re-measured twice with the same result", KramersKronig: accepted.Quality.KramersKronig}
	d.Assessment.Cells.At(0).Trend = []health.Trend{{Quantity: job.ChargeTransferGrowth, Against: "cycles", Law: "linear",
		Crosses: &health.Crossing{Value: 1480, Lower95: 1210, Upper95: 1900}}}
	pages := pagesOf(t, bytesOf(t, Options{}, d))
	all := strings.Join(pages, " ")
	for _, item := range []struct {
		clause, what string
		first        bool // on the first page
		want         string
	}{
		{"7.8.2.1 a", "title", true, "State of health of stored traction cells"},
		{"7.8.2.1 b", "laboratory", true, "Tarnside Cell Laboratory 12 Weir Lane, Tarnside"},
		{"7.8.2.1 c", "place of work", false, "Unless the remarks say otherwise the measurements were made at the laboratory’s address"},
		{"7.8.2.1 d", "identification", true, "TCL-2026-041 Test report"},
		{"7.8.2.1 e", "customer", true, "Heronby Storage Co-operative 3 Saltmarsh Road, Heronby Order HS-1187"},
		{"7.8.2.1 f", "method", false, "Electrochemical impedance spectroscopy"},
		{"7.8.2.1 g", "item and condition", true, "Seven cylindrical cells, sealed, without visible damage"},
		{"7.8.2.1 g", "item identified", false, "Cell A-003"},
		{"7.8.2.1 h", "received", true, "Received: 2024-03-04"},
		{"7.8.2.1 i", "tested", true, "Tested: 2024-03-11 to 2026-03-18"},
		{"7.8.2.1 j", "issued", true, "Issued: 2026-04-02"},
		{"7.8.2.1 k", "sampling", false, "no sampling plan is stated"},
		{"7.8.2.1 l", "only the items tested", false, "The results relate only to the items tested"},
		{"7.8.2.1 m", "results with units", false, "mΩ"},
		{"7.8.2.1 n", "deviations", false, "Deviation: the spectrum of 2024-11-11 was rejected by the checks and counts after all. Reason given: re-measured twice with the same result"},
		{"7.8.2.1 n", "deviations together", false, "Deviations: rejected spectra that count"},
		{"7.8.2.1 n", "exclusions", false, "Left out: 4 points from 5.01 kHz to 10.0 kHz, inductive branch."},
		{"7.8.2.1 o", "authorisation", false, "Authorised by Dr. O. Fenwick"},
		{"7.8.2.1 p", "external providers", false, "No result from an external provider"},
		{"7.8.2.1", "in full only", false, "not to be reproduced except in full"},
		{"7.8.2.2", "supplied by the customer", false, "was supplied by the customer and can affect the validity of the results"},
		{"7.8.3.1 a", "environment", false, "Cell temperatures during the measurements"},
		{"7.8.3.1 b", "conformity", true, "A-001"},
		{"7.8.3.1 c", "uncertainty", true, "coverage factor k = 2"},
		{"7.8.3.1 d", "opinions", false, "Opinion: forecast"},
		{"7.8.6.1", "rule and its risk", true, "Guarded acceptance: pass only where a value meets its limit by the expanded uncertainty U (k = 2). Risk of a false pass at most 2.3 %."},
		{"7.8.6.2", "to which results, limits and rule", false, "1.420 (1.337 … 1.508; k = 2), limit at most 2, accepted up to 1.884"},
		{"7.8.6.2", "whose limits", true, "Limits, set by the customer"},
		{"7.8.7", "opinions apart", false, "Opinions, no results: where the measurements lead if the cell ages on as it did"},
		{"7.8.8", "amendment", true, "This report amends and replaces report TCL-2026-017"},
		{"caution", "cautions", false, "Local codes and the maker’s instructions come before anything in this report"},
		{"caution", "on the first page", true, "No verdict is a safety certificate"},
		{"caution", "no safety certificate", false, "A grade is never a safety certificate"},
		{"provenance", "digests", false, d.Inputs[0].SHA256},
		{"provenance", "defaults", false, "5 % (default)"},
		{"provenance", "tool", false, "ohmledger 0.2.0"},
	} {
		text := all
		if item.first {
			text = pages[0]
		}
		if !strings.Contains(text, item.want) {
			t.Errorf("%s %s: %q not found", item.clause, item.what, item.want)
		}
	}
}

// TestOrder holds the order for the reader: the first page answers, then the cells, then the rest.
func TestOrder(t *testing.T) {
	all := strings.Join(pagesOf(t, bytesOf(t, Options{}, specimen(t, 3, 2))), " ")
	at := 0
	for _, want := range []string{
		"Tarnside Cell Laboratory", "State of health of stored traction cells", "Heronby", "Decision rule", "3 pass", "What decided", "Next steps",
		"Cell A-001", "Growth of the charge-transfer resistance: pass", "Growth is the ratio to", "2026-03-18", "Fitted circuit", "Uncertainty budget",
		"Cell A-002", "Cell A-003", "Method", "Settings in force", "Inputs", "Statements", "Authorised by", "End of report",
	} {
		next := strings.Index(all[at:], want)
		if next < 0 {
			t.Fatalf("%q does not follow %q", want, all[max(0, at-40):at])
		}
		at += next + len(want)
	}
}

// TestBlankIsMarked looks for what a job that states nothing must not bring about: invented values.
func TestBlankIsMarked(t *testing.T) {
	pages := pagesOf(t, bytesOf(t, Options{}, blank(t)))
	all := strings.Join(pages, " ")
	for _, want := range []string{
		"Laboratory not stated", "address not stated", "date of issue not stated", "Received: not stated", "Tested: not stated", "Issued: not stated",
		"Report number not stated", "Authorised by not stated", "date of issue, customer, customer’s address", "End of the report",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("%q not found", want)
		}
	}
	for _, never := range []string{"0001-01-01", "1970", "%!", "<nil>", "NaN", "Inf"} {
		if strings.Contains(all, never) {
			t.Errorf("%q found", never)
		}
	}
}

func TestCellsAreChosen(t *testing.T) {
	d := specimen(t, 7, 2)
	for selection, want := range map[Selection][]bool{ // of: the first three pass
		AllCells: {true, true, true, true, true, true, true}, FailedCells: {false, false, false, true, true, true, true},
		NoCells: {false, false, false, false, false, false, false},
	} {
		all := strings.Join(pagesOf(t, bytesOf(t, Options{Cells: selection}, d)), " ")
		for i, c := range d.Assessment.Cells.All() {
			if got := strings.Contains(all, "Cell "+c.Name+" "); got != want[i] {
				t.Errorf("%q: section of %s: %v", selection, c.Name, got)
			}
		}
	}
}

func TestReplacedCharactersAreReported(t *testing.T) {
	d := specimen(t, 1, 1)
	d.Assessment.Cells.At(0).Name = "A 😀 中"
	all := strings.Join(pagesOf(t, bytesOf(t, Options{}, d)), " ")
	if !strings.Contains(all, "Cell A \uFFFD \uFFFD") || !strings.Contains(all, "U+4E2D, U+1F600") {
		t.Error("the substitutes, or their list, are missing")
	}
}

// TestLongTextIsComplete: a text of 10 000 characters in a table, a heading and the front page is all there.
func TestLongTextIsComplete(t *testing.T) {
	d := specimen(t, 1, 1)
	var words []string
	for i := range 1500 {
		words = append(words, "w"+strings.Repeat("x", i%7)+"q")
	}
	long := strings.Join(words, " ")
	d.Assessment.Cells.At(0).Name, d.Assessment.Job.Report.Item, d.Assessment.Cells.At(0).Reason = long, long, long
	all := strings.Join(pagesOf(t, bytesOf(t, Options{}, d)), " ")
	if n := strings.Count(all, "wxxxxxxq"); n < 4*214 { // the name in summary and section, the item, the reason twice
		t.Errorf("the longest of the words stands %d times", n)
	}
}

// TestEveryCaseHasItsWords goes through what only some jobs bring up: ways in which a fit ends, rules,
// corrections, verdicts, what a trend goes against.
func TestEveryCaseHasItsWords(t *testing.T) {
	words := specimen(t, 0, 0).Words
	var blocks []string
	for status := fit.NotRun; status <= fit.NotComputable; status++ {
		if words.FitStatus(status) == "" {
			t.Errorf("no words for a fit that is %s", status)
		}
	}
	for _, rule := range []job.DecisionRuleKind{job.Simple, job.Guarded, job.FourWay} {
		blocks = append(blocks, "rule."+string(rule), "method.rule."+string(rule))
	}
	for _, source := range []job.CorrectionSource{job.CorrectionDeclared, job.CorrectionMeasured, job.CorrectionNone} {
		blocks = append(blocks, "method.temperature."+string(source))
	}
	for v := health.NotEvaluated; v <= health.Fail; v++ {
		if v != health.Pass {
			blocks = append(blocks, "next."+verdictKey(v))
		}
	}
	for _, law := range []string{"linear", "square-root", "power"} {
		blocks = append(blocks, "law."+law)
	}
	for _, b := range blocks {
		if !words.Has("pdf." + b) {
			t.Errorf("no block pdf.%s", b)
		}
	}
}

// TestManyInputs: beyond 200 files the job's own are listed, and the digest of the whole list stands for the spectra.
func TestManyInputs(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in TestPages too")
	}
	all := strings.Join(pagesOf(t, bytesOf(t, Options{Cells: NoCells}, specimen(t, 101, 2))), " ")
	if !strings.Contains(all, "rests on 204 files, of which 2 are listed") || !strings.Contains(all, "measurements.csv") || strings.Contains(all, "spectra/") {
		t.Error("not the job's own files alone")
	}
}
