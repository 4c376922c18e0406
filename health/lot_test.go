package health

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// deliveryJob is an incoming inspection of new cells by ohmic and charge-transfer resistance, pallet by pallet.
func deliveryJob() *job.Job {
	return &job.Job{
		Baseline: job.Baseline{Source: job.Declared}, GroupBy: "pallet",
		Limits: []job.Limit{{Quantity: job.ChargeTransferOhm, Side: job.Max, Bound: 0.020}, {Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.022}},
		Grades: []job.Grade{
			{Name: "A", Limits: []job.Limit{{Quantity: job.ChargeTransferOhm, Side: job.Max, Bound: 0.0155}}},
			{Name: "B", Limits: []job.Limit{{Quantity: job.ChargeTransferOhm, Side: job.Max, Bound: 0.020}}}},
	}
}

// newCells are an invented delivery: resistances that differ by 2 %, measured to 1 % of their own and 0.3 % in common.
// Five cells are suspect, and one pallet was measured over a contact of 1 mΩ too much.
func newCells(n int) (cells []LotCell, suspect []string) {
	random := rand.New(rand.NewPCG(31, 1))
	for i := range n {
		value := func(q job.Quantity, typical float64) QuantityValue {
			v := typical * math.Exp(0.02*random.NormFloat64()+0.01*random.NormFloat64())
			return QuantityValue{Quantity: q, Value: fit.NewValue(v, v*math.Hypot(0.01, 0.003)), Own: 0.01 * v}
		}
		c := LotCell{Name: fmt.Sprintf("N%03d", i+1), Group: fmt.Sprintf("P%d", 1+i%10), Verdict: Pass, Grade: "A",
			Values: []QuantityValue{value(job.ChargeTransferOhm, 0.015), value(job.OhmicOhm, 0.018)}}
		if i%10 == 6 {
			v := c.Values[1].Value
			c.Values[1].Value = fit.NewValue(v.Estimate()+0.001, v.StandardUncertainty())
		}
		if i%97 == 50 {
			v := c.Values[0].Value
			c.Values[0].Value = fit.NewValue(1.3*v.Estimate(), v.StandardUncertainty())
			c.Verdict, c.Findings = Fail, []string{"rest-short"}
			suspect = append(suspect, c.Name)
		}
		cells = append(cells, c)
	}
	return cells, suspect
}

func TestLotOfNewCells(t *testing.T) {
	cells, suspect := newCells(500)
	l := LotOf(deliveryJob(), cells, english(t))
	if l.Cells != 500 || l.Counts.Fail != len(suspect) || len(l.Quantities) != 2 || len(l.Groups) != 10 || l.Groups[9].Name != "P10" {
		t.Fatalf("%d cells, %+v, %d quantities, %d groups", l.Cells, l.Counts, len(l.Quantities), len(l.Groups))
	}
	transfer, ohmic := l.Quantities[0], l.Quantities[1]
	var found []string
	for _, o := range transfer.Outliers.Cells {
		if o.ByDeviate {
			found = append(found, o.Cell)
		}
		if o.ByDeviate && (o.Findings[0] != "rest-short" || len(o.Others) != 1 || math.Abs(o.Others[0].ModifiedZ) > 5 || o.Uncertainties < 10) {
			t.Errorf("%+v", o)
		}
	}
	slices.Sort(found)
	if !slices.Equal(found, suspect) {
		t.Errorf("outliers %v, want %v", found, suspect)
	}
	s := transfer.Separation
	if !(s.OwnInterval.Lower <= 0.02 && 0.02 <= s.OwnInterval.Upper) || s.Because.Code != "spread-of-both" || s.Reason == "" {
		t.Errorf("separation %+v", s)
	}
	near(t, "share of the measurement", s.Share, 0.2, 0.04)
	near(t, "common", s.Common, 0.003, 1e-6)
	for _, g := range l.Groups {
		if q := g.Quantities[1]; q.Departs != (g.Name == "P7") {
			t.Errorf("pallet %s: %+v", g.Name, q)
		}
	}
	p7 := l.Groups[6].Quantities[1]
	if !(p7.Interval.Lower < 0.001/0.018 && 0.001/0.018 < p7.Interval.Upper) {
		t.Errorf("pallet 7: %v, %+v", p7.Difference, p7.Interval)
	}
	if b := ohmic.Between; !(b.P < 1e-6) || math.Abs(b.Spread-0.0176) > 0.005 || ohmic.Limits[0].Bound != 0.022 {
		t.Errorf("between pallets: %+v", b)
	}
}

// Whatever order the cells are given in, a lot is the same in every bit; so are parts put together.
func TestLotHangsOnNoOrder(t *testing.T) {
	j := deliveryJob()
	j.Grouping = &job.Grouping{Size: 7, Arrangement: "parallel", By: []job.Quantity{job.OhmicOhm}}
	j.Sampling = &job.Sampling{Standard: "attributes", LotSize: 3200, AQL: 1, Level: "II", Severity: "normal"}
	cells, _ := newCells(125)
	want := fmt.Sprintf("%#v %#v", *LotOf(j, cells, nil).Grouping, LotOf(j, cells, nil).Quantities[0].Summary)
	random := rand.New(rand.NewPCG(2, 2))
	for range 4 {
		random.Shuffle(len(cells), func(a, b int) { cells[a], cells[b] = cells[b], cells[a] })
		l := LotOf(j, append(slices.Clone(cells[60:]), cells[:60]...), nil)
		if got := fmt.Sprintf("%#v %#v", *l.Grouping, l.Quantities[0].Summary); got != want {
			t.Fatal("another order gives another lot")
		}
		if l.Sampling.Decision != Accepted || l.Sampling.SampleSize != 125 {
			t.Errorf("%+v", l.Sampling)
		}
	}
}

// Reference cells are what a lot is compared with, and no part of it.
func TestReferenceCellsAreNoPartOfTheLot(t *testing.T) {
	j := deliveryJob()
	j.Baseline = job.Baseline{Source: job.ReferenceCells, Cells: []string{"N003", "N001"}}
	cells, _ := newCells(20)
	l := LotOf(j, cells, nil)
	if l.Cells != 18 || !slices.Equal(l.Reference, []string{"N001", "N003"}) || l.Quantities[0].Summary.Count != 18 {
		t.Errorf("%d cells, reference %v", l.Cells, l.Reference)
	}
}

// Quantities that no cell has are left out, cells without one are counted.
func TestLotWithoutValues(t *testing.T) {
	j := deliveryJob()
	cells, _ := newCells(4)
	for i := range cells {
		cells[i].Values[1] = QuantityValue{Quantity: job.OhmicOhm, Own: math.NaN()}
	}
	cells[0].Values[0] = cells[0].Values[1]
	l := LotOf(j, cells, nil)
	if len(l.Quantities) != 1 || l.Quantities[0].Missing != 1 || l.Quantities[0].Summary.Count != 3 || l.Quantities[0].Adopted != -1 {
		t.Errorf("%+v", l.Quantities)
	}
	if l := LotOf(j, nil, nil); l.Cells != 0 || len(l.Quantities) != 0 {
		t.Errorf("no cells: %+v", l)
	}
	one := LotOf(j, cells[1:2], nil)
	if q := one.Quantities[0]; q.Summary.Count != 1 || q.Separation != nil || q.Fits != nil || !math.IsNaN(q.Summary.StandardDeviation) {
		t.Errorf("one cell: %+v", q)
	}
}

// Every sentence that a lot may say has words.
func TestLotHasWords(t *testing.T) {
	say := english(t)
	facts := func(names ...string) (list []Fact) {
		for _, n := range names {
			list = append(list, count(n, 2))
		}
		return list
	}
	quantity := word("quantity", string(job.CapacityAh))
	for _, s := range []Statement{
		because("severity-without-table", append(facts("aql", "lot_size"), word("standard", "S"), word("severity", "reduced"), word("level", "II"))...),
		because("no-sampling-plan", append(facts("aql", "lot_size"), word("standard", "S"), word("severity", "reduced"), word("level", "II"))...),
		because("sample-exceeds-lot", facts("lot_size", "needed", "inspected")...), because("sample-too-small", facts("lot_size", "needed", "inspected", "missing")...),
		because("sample-too-large", facts("lot_size", "needed", "inspected", "surplus")...), because("sample-is-whole-lot", facts("lot_size", "needed", "inspected")...),
		because("lot-accepted", facts("nonconforming", "doubtful", "inspected", "acceptance")...), because("lot-rejected", facts("nonconforming", "doubtful", "inspected", "acceptance")...),
		because("doubtful-cells-decide", facts("nonconforming", "doubtful", "inspected", "acceptance")...), because("sampling-without-limits"),
		because("lot-accepted-by-variables", facts("inspected", "constant")...), because("sample-values-missing", append(facts("missing"), quantity)...),
		because("sample-not-normal", append(facts("p"), quantity)...), because("quantity-accepted", append(facts("estimated", "allowed"), quantity)...),
		because("quantity-rejected", append(facts("estimated", "allowed"), quantity)...), because("spread-without-uncertainty"), because("spread-of-measurement", facts("share")...),
		because("spread-of-both", facts("share")...), because("spread-of-cells", facts("share")...), because("leftover-without-value", quantity),
		because("leftover-verdict", word("verdict", "fail")), because("leftover-without-grade"), because("leftover-incomplete-group", facts("size")...),
		because("trend-without-axis"), because("limit-maybe-beyond-horizon", append(facts("until", "earliest"), word("against", "days"))...),
	} {
		if say.reason(s) == "" {
			t.Errorf("%s says nothing", s.Code)
		}
	}
	for _, asked := range []job.Grouping{{Arrangement: "series"}, {Arrangement: "parallel"}} {
		for _, n := range arrangementNotes(&asked) {
			if say.reason(n) == "" {
				t.Errorf("%s says nothing", n.Code)
			}
		}
	}
}

// gradedAt is the grade of a cell with a growth of its arc, and what the grading says.
func gradedAt(growth float64, kind job.DecisionRuleKind, bounds ...float64) *specimen {
	j := syntheticJob()
	j.DecisionRule.Kind = kind
	j.Grades = nil
	for i, b := range bounds {
		j.Grades = append(j.Grades, job.Grade{Name: string(rune('A' + i)), Limits: []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: b}}})
	}
	s := fittedCell(0, given{row("A", 0, 25), fit.NewValue(0.02, 1e-4), fit.NewValue(0.015, 1.5e-4)},
		given{row("A", 400, 25), fit.NewValue(0.02, 1e-4), fit.NewValue(0.015*growth, 1.5e-4*growth)})
	g := founded(j, s)
	g.judge(s)
	s.Grading = g.grading(s)
	return s
}

// A stricter limit never makes a grade better.
func TestStricterLimitsNeverImproveAGrade(t *testing.T) {
	random := rand.New(rand.NewPCG(77, 7))
	kinds := []job.DecisionRuleKind{job.Simple, job.Guarded, job.FourWay}
	place := func(s *specimen) int {
		if s.Grade == "" {
			return 3
		}
		return int(s.Grade[0] - 'A')
	}
	for range 60 {
		growth, kind := 1+random.Float64(), kinds[random.IntN(3)]
		bounds := []float64{1 + 0.3*random.Float64(), 1.3 + 0.3*random.Float64(), 1.6 + 0.4*random.Float64()}
		before := place(gradedAt(growth, kind, bounds...))
		for i := range bounds {
			stricter := slices.Clone(bounds)
			stricter[i] -= 0.1 * random.Float64()
			if after := place(gradedAt(growth, kind, stricter...)); after < before {
				t.Fatalf("growth %v, %v: grade %d of %v becomes %d of %v", growth, kind, before, bounds, after, stricter)
			}
		}
	}
}

func TestGradingSaysWhatIsMissed(t *testing.T) {
	s := gradedAt(1.5, job.Simple, 1.3, 1.6)
	if r := s.Grading; s.Grade != "B" || r.Better != "A" || len(r.Missed) != 1 || r.Because.Code != "grade-limits-met" {
		t.Fatalf("%+v", r)
	}
	near(t, "missed by", s.Grading.Missed[0].By, 0.2, 1e-9)
	s = gradedAt(1.29, job.Guarded, 1.3, 1.6)
	if r := s.Grading; s.Grade != "B" || !(r.Missed[0].By > 0 && r.Missed[0].By < 0.1) {
		t.Errorf("within the guard band: %+v", r)
	}
	s = gradedAt(1.29, job.FourWay, 1.3, 1.6)
	if r := s.Grading; s.Grade != "B" || r.Missed[0].Verdict != ConditionalPass || !(r.Missed[0].By > 0) {
		t.Errorf("conditionally: %+v", r)
	}
	if r := gradedAt(1.1, job.Simple, 1.3, 1.6).Grading; r.Better != "" || r.Missed != nil || r.Because.Code != "grade-best" {
		t.Errorf("the best: %+v", r)
	}
	if r := gradedAt(1.9, job.Simple, 1.3, 1.6).Grading; r.Grade != "" || r.Better != "B" || r.Because.Code != "grade-none-met" {
		t.Errorf("none: %+v", r)
	}
}

// Three reference cells that differ by 2 %, judged cells 1 % and 30 % away: the first is like them, the second not; the
// group weighs more than the measurement.
func TestDeparturesFromReferenceCells(t *testing.T) {
	b := newBench()
	b.job.Baseline = job.Baseline{Source: job.ReferenceCells, Cells: []string{"R1", "R2", "R3"}}
	b.add(aged(fresh, 1, 0.98), row("R1", 0, 25)).add(fresh, row("R2", 0, 25)).add(aged(fresh, 1, 1.02), row("R3", 0, 25))
	b.add(aged(fresh, 1, 1.01), row("S", 9, 25)).add(aged(fresh, 1, 1.5), row("T", 9, 25))
	a := b.assess(t)
	if a.Lot.Cells != 2 || len(a.Lot.Reference) != 3 {
		t.Fatalf("%+v", a.Lot)
	}
	for i, departs := range map[int]bool{3: false, 4: true} {
		c := a.Cells.At(i)
		if len(c.Departures) != 3 {
			t.Fatalf("%s: %+v", c.Name, c.Departures)
		}
		d := c.Departures[0]
		if d.Quantity != job.ChargeTransferGrowth || d.Departs != departs || d.GroupCells != 3 || d.Reason == "" {
			t.Errorf("%s: %+v", c.Name, d)
		}
		near(t, "both together", math.Hypot(d.Measurement, widening(2)*d.Group), c.Measurements[0].ChargeTransferGrowth.LogU, 1e-12)
		if (d.Dominant == "group") != (d.Group > d.Measurement) || !(d.Critical > 1.96) {
			t.Errorf("%s: %+v", c.Name, d)
		}
	}
	sum := a.Lot.Departures[0]
	if sum.Cells != 2 || sum.Above != 1 || sum.Below != 0 || sum.GroupDominates+sum.MeasurementDominates != 2 {
		t.Errorf("%+v", sum)
	}
}

// Values of a cell are those of its criteria, with the part of the uncertainty that it has to itself.
func TestCellsCarryTheirValues(t *testing.T) {
	b := threeCells()
	b.job.Grades = []job.Grade{{Name: "A", Limits: []job.Limit{{Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.021}}}}
	a := b.assess(t)
	want := []job.Quantity{job.ChargeTransferGrowth, job.OhmicGrowth, job.OhmicOhm}
	for _, c := range a.Cells.All() {
		for k, v := range c.Values {
			if v.Quantity != want[k] || v.Value.Known() == v.Because.says() {
				t.Errorf("%s: %+v", c.Name, v)
			}
		}
		if v := c.Values[2]; v.Value.Known() && !(v.Own > 0 && v.Own < v.Value.StandardUncertainty()) {
			t.Errorf("%s: own %v of %v", c.Name, v.Own, v.Value.StandardUncertainty())
		}
	}
	if v, k := a.Cells.At(0).Values[1], criterionOf(t, a.Cells.At(0), job.OhmicGrowth); v.Value != k.Value {
		t.Errorf("%v, criterion %v", v.Value, k.Value)
	}
	if a.Lot == nil || a.Lot.Cells != 3 || len(a.Lot.Grades) != 2 {
		t.Errorf("%+v", a.Lot)
	}
}

// A budget's lines are either a cell's own or common to all; none is forgotten.
func TestCommonSourcesAreNamedAsBudgetsNameThem(t *testing.T) {
	b := newBench()
	b.job.Baseline = job.Baseline{Source: job.ReferenceCells, Cells: []string{"R1", "R2"}}
	b.add(fresh, row("R1", 0, 22)).add(aged(fresh, 1.02, 1.02), row("R2", 0, 23)).add(aged(fresh, 1.1, 1.2), row("S", 9, 28))
	seen := map[string]bool{}
	for _, m := range b.assess(t).Cells.At(2).Measurements {
		for _, g := range []Growth{m.OhmicGrowth, m.ChargeTransferGrowth, m.TotalGrowth} {
			for _, c := range g.Contributions {
				seen[c.Source] = true
			}
		}
	}
	for _, source := range []string{"activation energy", "spread of the reference cells", "mean of the reference cells"} {
		if !seen[source] || !ofAllCells(source) {
			t.Errorf("%q: seen %v", source, seen)
		}
	}
}

// Without a correction the bound for the temperature is common to all; a line that is not known to be common is a cell's own.
func TestUncorrectedTemperatureIsCommon(t *testing.T) {
	b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1, 1.1), row("A", 9, 25))
	b.job.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionNone}
	c := criterionOf(t, b.assess(t).Cells.At(0), job.ChargeTransferGrowth)
	i := slices.IndexFunc(c.Contributions, func(c Contribution) bool { return c.Source == boundedActivation(chargeTransfer).source })
	if i < 0 || !ofAllCells(c.Contributions[i].Source) || ofAllCells(asMeasured.fit) || ofAllCells("anything else") {
		t.Errorf("%+v", c.Contributions)
	}
}

// Every column of the table can divide a lot.
func TestEntriesOfColumns(t *testing.T) {
	m := row("A", 3, 24.5)
	m.Extra = map[string]string{"pallet": "P7"}
	m.Cycles = pointer(250)
	for column, want := range map[string]string{"pallet": "P7", "cycles": "250", "temperature_c": "24.5", "measured_at": "2024-03-04", "sensing": "4-wire", "capacity_ah": "", "bin": ""} {
		if got := entryOf(&m, column); got != want {
			t.Errorf("%s: %q", column, got)
		}
	}
}
