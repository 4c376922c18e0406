package pdf

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// keyLike is how keys of job.yaml and of results look, which readers of a report need not know.
var keyLike = regexp.MustCompile(`\b[a-z]+(_[a-z0-9]+)+\b|\b(report|laboratory|cell|conditions|instrument|baseline)\.[a-z]+`)

// No page calls a thing by its key, in either language, whatever is blank, set or found.
func TestPagesNameNoKeys(t *testing.T) {
	if testing.Short() {
		t.Skip("makes many pages")
	}
	shown := func(name string, d *report.Document) {
		for i, page := range pagesOf(t, bytesOf(t, Options{Cells: map[string]Selection{"delivery": NoCells}[name]}, d)) {
			for _, key := range keyLike.FindAllString(page, -1) {
				t.Errorf("%s, page %d: %q", name, i+1, key)
			}
		}
	}
	advised := []string{"columns-mapped", "magnitude-unlike-others", "sign-reversed", "magnitude-implausible", "fixture-correction-large",
		"two-wire-sensing", "sensing-unknown", "state-of-charge-unknown", "rest-unknown", "open-circuit-moved"}
	facts := []health.Fact{{Name: "fixture", Unit: health.Word, Text: "corrected"}, {Name: "strange", Unit: health.Count, Value: 1}}
	for name, d := range map[string]*report.Document{"blank": blank(t), "german": inGerman(t, blank(t)), "delivery": delivery(t)} {
		c, cell := compositionOf(t, d), d.Assessment.Cells.At(0)
		if n := len(cell.Measurements); n > 0 {
			for _, code := range advised {
				cell.Measurements[n-1].Quality.Findings = append(cell.Measurements[n-1].Quality.Findings,
					health.Finding{Code: "x-" + code, Severity: health.Warning, Advice: c.adviceOn(health.Finding{Code: code, Facts: facts, Advice: "state it in soc_percent"})})
			}
		}
		shown(name, d)
	}
}

// What a bench noted beside the judged measurement stands on the first page, those of cells that did not pass first; what stands beside most does not.
func TestBenchRemarksStandInFront(t *testing.T) {
	d := specimen(t, 4, 2)
	note := func(i int, verdict health.Verdict, text string) {
		cell := d.Assessment.Cells.At(i)
		cell.Verdict, cell.Measurements[cell.Latest].Row.Remarks = verdict, text
	}
	note(0, health.Pass, "wrapper torn.")
	note(1, health.Fail, "can warm to the touch; "+strings.Repeat("and so on ", 20))
	page := pagesOf(t, bytesOf(t, Options{}, d))[0]
	warm, torn := strings.Index(page, "A-002: can warm to the touch; and so on"), strings.Index(page, "A-001: wrapper torn")
	if warm < 0 || torn < warm || !strings.Contains(page, "…") || strings.Count(page, "and so on") > 8 {
		t.Errorf("%q", page)
	}
	for i := range 3 {
		note(i, health.Pass, "chamber set to 25 °C")
	}
	if page := pagesOf(t, bytesOf(t, Options{}, d))[0]; strings.Contains(page, "chamber set") {
		t.Errorf("%q", page)
	}
}

// The first page writes a growth as the cell's section does: its value, and the interval that it is decided on.
func TestFrontStatesValues(t *testing.T) {
	d := specimen(t, 3, 4)
	pages := pagesOf(t, bytesOf(t, Options{}, d))
	c := compositionOf(t, d)
	for i := range d.Assessment.Cells.Len() {
		for _, k := range d.Assessment.Cells.At(i).Criteria {
			j := c.judgement(&k)
			if want := strings.Join(strings.Fields(j.Value+" "+j.Interval), " "); !strings.Contains(pages[0], want) {
				t.Errorf("%q not found in %q", want, pages[0])
			}
		}
	}
}

// In the list of many cells each value stands on one line, a growth with the factor to the ends of its interval, and quantities have their shortest names.
func TestListStatesValues(t *testing.T) {
	d := specimen(t, many, 2)
	c := compositionOf(t, d)
	cell := d.Assessment.Cells.At(many - 1)
	k := criterionOf(cell, job.ChargeTransferGrowth)
	want := c.numbers.Ratio(k.Value.Estimate(), math.Log(k.Upper/k.Value.Estimate()))
	if got := c.summaryValue(cell, k.Quantity, notation.One.Scale()); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	k.Verdict, cell.Verdict, k.Reason = health.NotEvaluated, health.NotEvaluated, "the arc does not close."
	if got := c.summaryReason(cell); unmarked(got) != "R_{ct}\u00a0growth: The arc does not close." {
		t.Errorf("%q", got)
	}
}

// A cell's section states its resistances at the reference temperature and at 1 kHz, and says what the marks of its number lines are.
func TestSectionsStateResistances(t *testing.T) {
	d := specimen(t, 1, 2)
	m := latest(d.Assessment.Cells.At(0))
	m.OhmicAtReference, m.ChargeTransferAtReference, m.ACResistance1kHz = fit.NewValue(0.02207, 0.00037), fit.NewValue(0.01466, 0.00057), fit.NewValue(0.025754, 0.000055)
	all := strings.Join(pagesOf(t, bytesOf(t, Options{}, d)), " ")
	for _, want := range []string{"at 25 °C: RΩ = 22.07(37) mΩ, Rct = 14.66(57) mΩ; as measured: |Z| = 25.754(55) mΩ at 1 kHz", "hatched in colour, the guard band"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q not found", want)
		}
	}
}

// A reason that several quantities have is given once, without a figure.
func TestForecastsWithoutAgeing(t *testing.T) {
	d := specimen(t, 1, 5)
	cell := d.Assessment.Cells.At(0)
	cell.Trend = nil
	for _, q := range []job.Quantity{job.ChargeTransferGrowth, job.OhmicGrowth} {
		cell.Trend = append(cell.Trend, health.Trend{Quantity: q, Against: "days", Reason: "It is a temperature series."})
	}
	all := strings.Join(pagesOf(t, bytesOf(t, Options{}, d)), " ")
	want := "No forecast: growth of the charge-transfer resistance and growth of the ohmic resistance. It is a temperature series."
	if strings.Count(all, "It is a temperature series.") != 1 || !strings.Contains(all, want) || strings.Contains(all, "light one") {
		t.Error(all[max(0, strings.Index(all, "Opinion")):][:400])
	}
}

// |Z| at 1 kHz is judged at the reference temperature, where the ohmic activation energy carries it, and head, criterion and method say so.
func TestACResistanceSaysWhereItIsJudged(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	head := unmarked(c.headOf(job.ACResistance1kHzOhm, notation.Scale{Symbol: "mΩ", Power: -3}))
	k := health.Criterion{Quantity: job.ACResistance1kHzOhm, Side: job.Max, Limit: 0.045, Value: fit.NewValue(0.0253, 0.0002), ExpandedUncertainty: 0.0004}
	criterion := unmarked(c.say("criterion.value", c.judgement(&k)))
	method := unmarked(c.say("method.quantity.ac_resistance_1khz_ohm", c.correctedTo(k.Quantity)))
	for text, want := range map[string]string{head: "25\u00a0°C / mΩ", criterion: "at 25\u00a0°C, with E_{a} of R_{Ω}, limit", method: "judged at 25\u00a0°C, corrected with"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q not found in %q", want, text)
		}
	}
	if c.correctedTo(job.OhmicGrowth) != (correctedTo{}) || c.correctedTo(job.OhmicOhm).Ohmic {
		t.Error("a growth has no temperature, and the ohmic resistance its own energy")
	}
	c.job.TemperatureCorrection.Source = job.CorrectionNone
	if c.correctedTo(k.Quantity).Ohmic {
		t.Error("nothing is corrected")
	}
}

// Names are counted only where more than one is left over.
func TestNoOneIsCountedAlone(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 1))
	for n, want := range map[int]string{3: "A, A and A", 4: "A, A, A and A", 5: "A, A, A and 2 more"} {
		if got := c.few(slices.Repeat([]string{"A"}, n)); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := c.named(slices.Repeat([]string{"A"}, mostNamed+1)); strings.Contains(got, "more") {
		t.Errorf("%q", got)
	}
	if got := c.some(slices.Repeat([]string{"A"}, mostDates+1)); strings.Contains(got, "more") {
		t.Errorf("%q", got)
	}
}

// Temperatures that are written alike are no span, and resistances that are compared stand in one unit.
func TestWhatIsAlikeIsWrittenOnce(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 2))
	cell := c.doc.Assessment.Cells.At(0)
	cell.Measurements[0].Row.TemperatureC, cell.Measurements[1].Row.TemperatureC = 25, 25.01
	if got := c.say("method.measurement", c.instrument()); !strings.Contains(got, "measurements: 25.0\u00a0°C.") {
		t.Errorf("%q", got)
	}
	cell.Measurements[0].Row.TemperatureC = 22
	if got := c.say("method.measurement", c.instrument()); !strings.Contains(got, "measurements: 22.0 to 25.0\u00a0°C.") {
		t.Errorf("%q", got)
	}
	cell.Baseline.Ohmic, cell.Baseline.ChargeTransfer = fit.NewValue(0.2162, 0.0066), fit.NewValue(0.37, 0.19)
	m := latest(cell)
	m.OhmicAtReference, m.ChargeTransferAtReference, m.ACResistance1kHz = fit.NewValue(0.2364, 0.005), fit.NewValue(0.47, 0.1), fit.NewValue(0.455, 0.001)
	page := strings.Join(pagesOf(t, bytesOf(t, Options{}, c.doc)), " ")
	if !strings.Contains(page, "RΩ = 216.2(6.6) mΩ, Rct = 370(190) mΩ") || !strings.Contains(page, "RΩ = 236.4(5.0) mΩ, Rct = 470(100) mΩ") {
		t.Errorf("%q", page)
	}
}
