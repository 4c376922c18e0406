package pdf

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// delivery is a lot of 80 cells from four pallets, one of which has another ohmic resistance; the first cell stands
// out, the second could not be judged. Its sampling plan is of MIL-STD-105E, its grades and groups by two quantities.
func delivery(t testing.TB) *report.Document {
	t.Helper()
	d := specimen(t, 80, 1)
	j := d.Assessment.Job
	limit := func(q job.Quantity, bound float64) job.Limit {
		return job.Limit{Quantity: q, Side: job.Max, Bound: bound}
	}
	j.Limits = []job.Limit{limit(job.ChargeTransferOhm, 0.0162), limit(job.OhmicOhm, 0.0222)}
	j.Grades = []job.Grade{{Name: "first", Limits: []job.Limit{limit(job.ChargeTransferOhm, 0.0150)}}, {Name: "second", Limits: j.Limits[:1]}}
	j.GroupBy = "pallet"
	j.Sampling = &job.Sampling{Standard: "attributes", LotSize: 1000, AQL: 1, Level: "II", Severity: "normal"}
	j.Grouping = &job.Grouping{Size: 14, Arrangement: "series", By: []job.Quantity{job.ChargeTransferOhm, job.OhmicOhm}, WithinGrade: true}
	words := phrases(t)
	random := rand.New(rand.NewPCG(3, 4))
	var cells []health.LotCell
	for i := range d.Assessment.Cells.Len() {
		cell := d.Assessment.Cells.At(i)
		pallet := fmt.Sprintf("pallet %d", i/20+1)
		chargeTransfer, ohmic := 0.0148*math.Exp(0.025*random.NormFloat64()), 0.0200*math.Exp(0.02*random.NormFloat64())
		if i == 0 {
			chargeTransfer = 0.0205
		}
		if pallet == "pallet 3" {
			ohmic += 0.0009
		}
		cell.Grade, cell.Verdict = "first", health.Pass
		if chargeTransfer > 0.0150 {
			cell.Grade = "second"
			cell.Grading = &health.Grading{Grade: "second", Reason: "All limits of grade second are met.", Better: "first", Missed: []health.Shortfall{{
				Criterion: health.Criterion{Quantity: job.ChargeTransferOhm, Value: fit.NewValue(chargeTransfer, 1e-4)}, By: chargeTransfer - 0.0150}}}
		}
		if chargeTransfer > 0.0162 {
			cell.Grade, cell.Verdict = "", health.Fail
		}
		values := []health.QuantityValue{
			{Quantity: job.OhmicOhm, Value: fit.NewValue(ohmic, 1e-4), Own: 8e-5},
			{Quantity: job.ChargeTransferOhm, Value: fit.NewValue(chargeTransfer, 2e-4), Own: 1e-4},
		}
		if i == 1 {
			cell.Grade, cell.Verdict, values[1] = "", health.NotEvaluated, health.QuantityValue{Quantity: job.ChargeTransferOhm, Own: math.NaN()}
		}
		cell.Values = inOrder(j, values)
		cells = append(cells, health.LotCell{Name: cell.Name, Group: pallet, Verdict: cell.Verdict, Grade: cell.Grade, Values: cell.Values})
	}
	d.Assessment.Lot = health.LotOf(j, cells, words.Phrase)
	return d
}

// deliveryRead holds the pages of the delivery, which several tests read and none changes.
var deliveryRead []string

func pagesOfDelivery(t *testing.T) []string {
	t.Helper()
	if deliveryRead == nil {
		deliveryRead = pagesOf(t, bytesOf(t, Options{Cells: NoCells}, delivery(t)))
	}
	return deliveryRead
}

// inOrder puts values into the order of the lot's quantities.
func inOrder(j *job.Job, values []health.QuantityValue) (list []health.QuantityValue) {
	for _, q := range health.LotQuantities(j) {
		for _, v := range values {
			if v.Quantity == q {
				list = append(list, v)
			}
		}
	}
	return list
}

func phrases(t testing.TB) *report.Words {
	t.Helper()
	words, err := report.ReadWords(os.DirFS("../../templates"), "en", nil, "")
	if err != nil {
		t.Fatal(err)
	}
	return words
}

// The plan is that of MIL-STD-105E for a lot of 1000 at level II: code letter J, n = 80, for an acceptable quality level of
// 1 % Ac = 2 (Tables I and II-A). One cell failed and one was not evaluated: with both the lot is still accepted.
func TestFrontSaysWhetherADeliveryIsAccepted(t *testing.T) {
	pages := pagesOfDelivery(t)
	if !strings.Contains(pages[0], "delivery accepted 1 of 80 cells do not conform and 1 could not be said to; up to 2 are allowed.") {
		t.Errorf("first page %q", pages[0])
	}
	all := strings.Join(pages, " ")
	for _, want := range []string{
		"Code letter J: n = 80, Ac = 2, Re = 3", "1000 cells in the delivery, 80 measured; the plan takes 80",
		"78 conform, 1 do not, 1 not evaluated or conditional", "MIL-STD-105E, by attributes",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("%q not found", want)
		}
	}
}

func TestLotSection(t *testing.T) {
	d := delivery(t)
	all := strings.Join(pagesOfDelivery(t), " ")
	outlier, missing := d.Assessment.Cells.At(0).Name, d.Assessment.Cells.At(1).Name
	for what, want := range map[string]string{
		"statistics":     "Charge-transfer resistance / mΩ 79",
		"grades":         "first",
		"no grade":       "meets no grade, or a quantity could not be had",
		"outlier":        outlier + " pallet 1 Rct 20.50(20) mΩ",
		"part":           "pallet 3 20",
		"anova":          "Ohmic resistance: between the parts F(3, 76)",
		"tolerance":      "of such cells lie between",
		"capability":     "1 of 79 values lies beyond a limit",
		"spread":         "Observed",
		"groups":         "of 14 for connection in series, alike in charge-transfer resistance and ohmic resistance, within grades",
		"left over":      "Left over: " + outlier,
		"not forgotten":  missing,
		"no certificate": "A grade is never a safety certificate",
		"better grade":   "first missed in Rct by",
		"list":           "All cells",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("%s: %q not found", what, want)
		}
	}
	if n := strings.Count(all, "Grade What decided"); n < 2 {
		t.Errorf("the list of 80 cells has %d heads", n)
	}
}

// Where no distribution describes the lot, no index that rests on one is stated, and what was counted is.
func TestNoCapabilityWithoutADistribution(t *testing.T) {
	d := delivery(t)
	c := compositionOf(t, d)
	found := false
	for i := range d.Assessment.Lot.Quantities {
		q := d.Assessment.Lot.Quantities[i]
		for _, q.Adopted = range []int{0, -1} {
			k := c.capability(&q)
			if k == nil {
				continue
			}
			found = true
			text := c.say("lot.capability", k)
			if described := q.Adopted >= 0; strings.Contains(text, "C_{pk}") != described || strings.Contains(text, "estimated") != described || !strings.Contains(text, "beyond a limit") {
				t.Errorf("%s: %q", q.Quantity, text)
			}
		}
	}
	if !found {
		t.Error("no quantity has limits")
	}
}

// The part that departs is set in bold, and no other: its interval does not hold zero.
func TestDepartingPartStandsOut(t *testing.T) {
	d := delivery(t)
	c := compositionOf(t, d)
	l := d.Assessment.Lot
	var odd []string
	for _, g := range l.Groups {
		for i := range g.Quantities {
			if c.groupEntries(&l.Quantities[i], &g.Quantities[i])[0].style != nil {
				odd = append(odd, g.Name+" "+string(g.Quantities[i].Quantity))
			}
		}
	}
	if got := strings.Join(odd, ", "); got != "pallet 3 ohmic_ohm" {
		t.Errorf("standing out: %s", got)
	}
}

// A few cells are no lot; what the job asks for is shown of any.
func TestFewCellsAreNoLot(t *testing.T) {
	d := specimen(t, 3, 2)
	var cells []health.LotCell
	for i := range d.Assessment.Cells.Len() {
		c := health.LotCell{Name: d.Assessment.Cells.At(i).Name}
		for k, q := range health.LotQuantities(d.Assessment.Job) {
			c.Values = append(c.Values, health.QuantityValue{Quantity: q, Value: fit.NewValue(1.2+0.1*float64(i+k), 0.02), Own: 0.01})
		}
		cells = append(cells, c)
	}
	d.Assessment.Lot = health.LotOf(d.Assessment.Job, cells, nil)
	if all := strings.Join(pagesOf(t, bytesOf(t, Options{}, d)), " "); strings.Contains(all, "The lot") {
		t.Error("three cells have a section of their own as a lot")
	}
}

// Plans by variables show each limit, and a delivery that cannot be decided says why.
func TestDeliveryByVariables(t *testing.T) {
	d := delivery(t)
	j := d.Assessment.Job
	j.Sampling.Standard = "variables"
	var cells []health.LotCell
	for i, cell := range d.Assessment.Cells.All() {
		if i >= 5 && i < 20 { // code letter G of MIL-STD-414: n = 15
			cells = append(cells, health.LotCell{Name: cell.Name, Verdict: cell.Verdict, Values: cell.Values})
		}
	}
	d.Assessment.Cells, d.Assessment.Lot = d.Assessment.Cells.Between(0, 20), health.LotOf(j, cells, phrases(t).Phrase)
	all := strings.Join(pagesOf(t, bytesOf(t, Options{Cells: NoCells}, d)), " ")
	for _, want := range []string{"MIL-STD-414, by variables, standard deviation unknown", "Distance in s", "Estimated beyond"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q not found", want)
		}
	}
	d.Assessment.Lot = health.LotOf(j, cells[:9], phrases(t).Phrase)
	if page := pagesOf(t, bytesOf(t, Options{Cells: NoCells}, d))[0]; !strings.Contains(page, "not decided") || !strings.Contains(page, "are missing, drawn at random") {
		t.Errorf("first page %q", page)
	}
}

// A quantity that a plan by variables cannot judge has no distance and no estimate: they are not nought.
func TestUnjudgedQuantityClaimsNoShare(t *testing.T) {
	nan := math.NaN()
	for want, l := range map[float64]health.InspectedLimit{
		math.Inf(1): {IndexLower: nan, IndexUpper: nan, PercentLower: nan, PercentUpper: nan},
		2.5:         {IndexLower: nan, IndexUpper: 2.5, PercentLower: nan, PercentUpper: 0.6},
		-1:          {IndexLower: 3, IndexUpper: -1},
	} {
		if got := nearestLimit(&l); got != want {
			t.Errorf("nearest %v, want %v", got, want)
		}
	}
	if got := compositionOf(t, specimen(t, 1, 1)).share(1e-9); got != "<\u00a00.01\u00a0%" {
		t.Errorf("%q", got)
	}
}
