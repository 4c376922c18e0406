package health

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health/job"
)

func criterionOf(t *testing.T, c *Cell, q job.Quantity) Criterion {
	t.Helper()
	for _, k := range c.Criteria {
		if k.Quantity == q {
			return k
		}
	}
	t.Fatalf("no criterion of %s", q)
	return Criterion{}
}

// threeCells are a good one, one whose arc has grown too far, and one measured once.
func threeCells() *bench {
	b := newBench()
	b.add(fresh, row("A", 0, 25)).add(aged(fresh, 1.05, 1.2), row("A", 200, 22)).add(aged(fresh, 1.1, 1.4), row("A", 400, 28))
	b.add(fresh, row("B", 0, 24)).add(aged(fresh, 1.2, 2.6), row("B", 400, 26))
	return b.add(fresh, row("C", 0, 25))
}

func TestAssess(t *testing.T) {
	a := threeCells().assess(t)
	if a.Verdict != Fail || a.Counts != (Counts{Pass: 1, Fail: 1, NotEvaluated: 1}) {
		t.Errorf("%v %+v", a.Verdict, a.Counts)
	}
	for _, c := range []struct {
		cell   int
		growth float64
		q      job.Quantity
	}{{0, 1.4, job.ChargeTransferGrowth}, {0, 1.1, job.OhmicGrowth}, {1, 2.6, job.ChargeTransferGrowth}, {1, 1.2, job.OhmicGrowth}} {
		k := criterionOf(t, a.Cells.At(c.cell), c.q)
		if math.Abs(k.Value.Estimate()-c.growth) > k.ExpandedUncertainty || k.ExpandedUncertainty > 0.2*c.growth {
			t.Errorf("%s %s: %v ± %v, want %v", a.Cells.At(c.cell).Name, c.q, k.Value.Estimate(), k.ExpandedUncertainty, c.growth)
		}
		near(t, "interval is that of the logarithm", k.Lower*k.Upper, k.Value.Estimate()*k.Value.Estimate(), 1e-12)
		if len(k.Contributions) < 3 {
			t.Errorf("%s: budget %+v", c.q, k.Contributions)
		}
	}
	c := a.Cells.At(2)
	if c.Verdict != NotEvaluated || !strings.Contains(c.Reason, "nothing later") || c.Latest != 0 {
		t.Errorf("a cell measured once: %v %q", c.Verdict, c.Reason)
	}
	m := a.Cells.At(0).Measurements
	near(t, "baseline's own growth", m[0].ChargeTransferGrowth.Ratio.Estimate(), 1, 1e-12)
	near(t, "at the reference temperature", m[2].OhmicAtReference.Estimate(), 0.022, 2*m[2].OhmicAtReference.StandardUncertainty())
	near(t, "total growth", m[2].TotalGrowth.Ratio.Estimate(), (0.022+0.021)/0.035, 2*m[2].TotalGrowth.Ratio.StandardUncertainty())
}

// A sweep without a point near 1 kHz says how much the interpolation may be off.
func TestInterpolationIsInTheBudget(t *testing.T) {
	b := newBench().add(fresh, row("A", 0, 25)).add(fresh, row("A", 9, 25))
	b.keep(1, func(hz float64) bool { return hz < 400 || hz > 2500 })
	b.job.Limits = append(b.job.Limits, job.Limit{Quantity: job.ACResistance1kHzOhm, Side: job.Max, Bound: 0.03})
	c := b.assess(t).Cells.At(0)
	if u := share(t, criterionOf(t, c, job.ACResistance1kHzOhm).Contributions, asMeasured.interpolation); !(u > 1e-5) {
		t.Errorf("%v Ω", u)
	}
}

// bytesOf is everything that an assessment says, as a machine reads it; cells by name.
func bytesOf(t *testing.T, a *Assessment, names ...string) string {
	t.Helper()
	var b bytes.Buffer
	for _, name := range names {
		for _, c := range a.Cells.All() {
			if c.Name != name {
				continue
			}
			for _, m := range c.Measurements {
				growth, err := json.Marshal([]fit.Value{m.OhmicGrowth.Ratio, m.ChargeTransferGrowth.Ratio, m.TotalGrowth.Ratio, m.OhmicAtReference, m.ACResistance1kHz})
				if err != nil {
					t.Fatal(err)
				}
				fmt.Fprintf(&b, "%s %s %v\n", m.Row.File, growth, m.Quality.Findings)
			}
			b0 := c.Baseline
			fmt.Fprintf(&b, "%s %v %v %v %v %s\n", c.Name, c.Verdict, b0.Ohmic, b0.Note, c.Criteria, c.Reason)
		}
	}
	return b.String()
}

func TestOrderOfMeasurementsIsIrrelevant(t *testing.T) {
	b := threeCells()
	want := bytesOf(t, b.assess(t), "A", "B", "C")
	random := rand.New(rand.NewPCG(3, 1))
	for range 3 {
		random.Shuffle(len(b.inputs), func(i, j int) { b.inputs[i], b.inputs[j] = b.inputs[j], b.inputs[i] })
		for i := range b.inputs {
			b.inputs[i].Row.Line = i + 2
		}
		if got := bytesOf(t, b.assess(t), "A", "B", "C"); got != want {
			t.Fatalf("shuffled:\n%s\nwant\n%s", got, want)
		}
	}
}

// Common practice: two wires on an 18650 cell read 0.034 Ω at the real-axis crossing where four read 0.022 Ω, and the curve keeps
// its shape. The ohmic resistance is then not judged, the arc is.
func TestTwoWireMeasurementOfACell(t *testing.T) {
	cell := fresh
	cell.Ohmic = 0.022
	b := newBench().add(cell, row("A", 0, 25)).add(aged(cell, 1, 1.3), row("A", 200, 25))
	leads := row("A", 300, 25)
	leads.Sensing = "2-wire"
	shifted := aged(cell, 1, 1.3)
	shifted.Ohmic += 0.012
	b.add(shifted, leads)
	b.job.Limits = append(b.job.Limits, job.Limit{Quantity: job.ACResistance1kHzOhm, Side: job.Max, Bound: 0.03}, job.Limit{Quantity: job.TotalResistanceGrowth, Side: job.Max, Bound: 2})
	c := b.assess(t).Cells.At(0)
	near(t, "crossing of two wires", c.Measurements[2].Fit.Ohmic.Estimate(), 0.034, 0.0005)
	for _, q := range []job.Quantity{job.OhmicGrowth, job.ACResistance1kHzOhm, job.TotalResistanceGrowth} {
		if k := criterionOf(t, c, q); k.Verdict != NotEvaluated || !strings.Contains(k.Reason, "Two-wire") {
			t.Errorf("%s: %v %q", q, k.Verdict, k.Reason)
		}
	}
	if k := criterionOf(t, c, job.ChargeTransferGrowth); k.Verdict != Pass || math.Abs(k.Value.Estimate()-1.3) > k.ExpandedUncertainty {
		t.Errorf("arc: %v %v ± %v", k.Verdict, k.Value.Estimate(), k.ExpandedUncertainty)
	}
	if c.Verdict != NotEvaluated {
		t.Errorf("cell: %v", c.Verdict)
	}

	// The other way round: a baseline of two wires and a measurement of four.
	first := row("B", 0, 25)
	first.Sensing = "2-wire"
	b = newBench().add(shifted, first).add(cell, row("B", 200, 25))
	c = b.assess(t).Cells.At(0)
	if k := criterionOf(t, c, job.OhmicGrowth); k.Verdict != NotEvaluated || c.Baseline.Ohmic.Known() || !c.Baseline.ChargeTransfer.Known() {
		t.Errorf("ohmic: %v %q, baseline %+v", k.Verdict, k.Reason, c.Baseline)
	}
	if k := criterionOf(t, c, job.ChargeTransferGrowth); k.Verdict == NotEvaluated {
		t.Errorf("arc: %q", k.Reason)
	}
}

// Every way in which a criterion becomes not evaluated, with the sentence that says why.
func TestReasonsForNoVerdict(t *testing.T) {
	for _, c := range []struct {
		name, reason string
		quantity     job.Quantity
		arrange      func(b *bench)
	}{
		{"only the baseline", "nothing later", job.ChargeTransferGrowth, func(b *bench) { b.inputs = b.inputs[:1] }},
		{"the later spectrum rejected", "The one later spectrum is rejected", job.ChargeTransferGrowth, func(b *bench) { b.spoil(1) }},
		{"every spectrum rejected", "rejected", job.ChargeTransferGrowth, func(b *bench) { b.spoil(0); b.spoil(1) }},
		{"too cold", "outside the job's range", job.OhmicGrowth, func(b *bench) { b.inputs[1].Row.TemperatureC = 5 }},
		{"too cold for 1 kHz", "outside the job's range", job.ACResistance1kHzOhm, func(b *bench) { b.inputs[1].Row.TemperatureC = 5 }},
		{"charge off target", "off the job's", job.ChargeTransferGrowth, func(b *bench) { b.inputs[1].Row.SOCPercent = pointer(80) }},
		{"charge off the baseline's", "that of the baseline", job.ChargeTransferGrowth, func(b *bench) {
			b.job.Conditions.SOCPercent = nil
			b.inputs[1].Row.SOCPercent = pointer(80)
		}},
		{"two wires", "Two-wire", job.OhmicOhm, func(b *bench) { b.inputs[1].Row.Sensing = "2-wire" }},
		{"another sensing", "that of the baseline 2-wire", job.OhmicGrowth, func(b *bench) { b.inputs[0].Row.Sensing = "2-wire" }},
		{"no correction", "no activation energy", job.ChargeTransferGrowth, func(b *bench) {
			b.job.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionNone}
			b.inputs[1].Row.TemperatureC = 27
		}},
		{"no correction to the reference", "no activation energy", job.OhmicOhm, func(b *bench) {
			b.job.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionNone}
			b.inputs[1].Row.TemperatureC = 27
		}},
		{"declared without the arc", "The declared baseline has no charge-transfer", job.ChargeTransferGrowth, func(b *bench) {
			b.job.Baseline = job.Baseline{Source: job.Declared, Ohmic: &job.Stated{Value: 0.02}}
		}},
		{"declared absurd", "cannot be", job.OhmicGrowth, func(b *bench) { b.job.Baseline = job.Baseline{Source: job.Declared, Ohmic: &job.Stated{Value: -1}} }},
		{"no reference cell", "None of the reference cells", job.OhmicGrowth, func(b *bench) {
			b.job.Baseline = job.Baseline{Source: job.ReferenceCells, Cells: []string{"Z"}}
		}},
		{"band without 1 kHz", "outside the measured band", job.ACResistance1kHzOhm, func(b *bench) { b.cut(1, 500) }},
		{"arc not in the band", "not resolved", job.ChargeTransferGrowth, func(b *bench) { b.top(1, 500) }},
		{"no capacity", "No capacity", job.CapacityAh, func(*bench) {}},
		{"no capacity to retain", "No capacity", job.CapacityRetention, func(b *bench) { b.inputs[0].Row.CapacityAh = pointer(2) }},
		{"first capacity only", "nothing later", job.CapacityRetention, func(b *bench) { b.inputs[1].Row.CapacityAh = pointer(2) }},
		{"first capacity far below the others", "which of the two is wrong", job.CapacityRetention, func(b *bench) {
			b.inputs[0].Row.CapacityAh, b.inputs[1].Row.CapacityAh = pointer(2), pointer(2.4)
		}},
		{"same data as another cell", "those of another cell", job.ACResistance1kHzOhm, func(b *bench) {
			b.add(fresh, row("B", 200, 25))
			b.inputs[2].Spectrum = b.inputs[1].Spectrum
		}},
		{"fewer cycles than before", "lower than at an earlier date", job.ChargeTransferGrowth, func(b *bench) {
			b.inputs[0].Row.Cycles, b.inputs[1].Row.Cycles = pointer(400), pointer(3)
		}},
		{"absurd capacity", "no possible capacity", job.CapacityAh, func(b *bench) { b.inputs[1].Row.CapacityAh = pointer(-2) }},
		{"no end of life", "no upper limit of the growth of the charge-transfer resistance", job.ResistanceStateOfHealth, func(b *bench) { b.job.Limits = nil }},
		{"end of life at once", "no growth", job.ResistanceStateOfHealth, func(b *bench) { b.job.Limits[0].Bound = 1 }},
		{"absurd limit", "cannot be held", job.OhmicGrowth, func(b *bench) { b.job.Limits = []job.Limit{{Quantity: job.OhmicGrowth, Side: job.Max}} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench().add(fresh, row("A", 0, 25)).add(fresh, row("A", 200, 25))
			c.arrange(b)
			if c.quantity != job.OhmicGrowth && c.quantity != job.ChargeTransferGrowth {
				b.job.Limits = append(b.job.Limits, job.Limit{Quantity: c.quantity, Side: job.Max, Bound: 0.5})
			}
			a := b.assess(t)
			k := criterionOf(t, a.Cells.At(0), c.quantity)
			if k.Verdict != NotEvaluated || !strings.Contains(k.Reason, c.reason) || k.Value.Known() {
				t.Errorf("%v %v %q", k.Verdict, k.Value, k.Reason)
			}
			for _, x := range []float64{k.ExpandedUncertainty, k.Lower, k.Upper, k.AcceptanceLimit, k.ProbabilityOfConformity} {
				if !math.IsNaN(x) {
					t.Errorf("a number where there is none: %+v", k)
				}
			}
			if v := a.Cells.At(0).Verdict; v == Pass {
				t.Error("the cell is passed in silence")
			}
		})
	}
}

// spoil makes a spectrum that no cell gives.
func (b *bench) spoil(i int) {
	for k := range b.inputs[i].Spectrum.Impedance {
		b.inputs[i].Spectrum.Impedance[k] *= complex(1+0.5*math.Sin(float64(k)), 0)
	}
}

// cut leaves out the frequencies above a bound, top those below.
func (b *bench) cut(i int, hz float64) { b.keep(i, func(f float64) bool { return f <= hz }) }
func (b *bench) top(i int, hz float64) { b.keep(i, func(f float64) bool { return f >= hz }) }

func (b *bench) keep(i int, kept func(hz float64) bool) {
	s := b.inputs[i].Spectrum
	n := 0
	for k, f := range s.Frequency {
		if kept(f) {
			s.Frequency[n], s.Impedance[n], s.Line[n] = f, s.Impedance[k], s.Line[k]
			n++
		}
	}
	s.Frequency, s.Impedance, s.Line = s.Frequency[:n], s.Impedance[:n], s.Line[:n]
}

func TestRejectedSpectrumJudgesNothingUnlessAccepted(t *testing.T) {
	b := threeCells()
	b.spoil(2)
	c := b.assess(t).Cells.At(0)
	if c.Latest != 1 || c.Verdict != Pass || !strings.Contains(c.Reason, "do not count: 1") || c.Measurements[2].ChargeTransferGrowth.Reason == "" {
		t.Errorf("latest %d, %v %q", c.Latest, c.Verdict, c.Reason)
	}
	if c.Measurements[2].Fit == nil {
		t.Error("a rejected spectrum cannot be shown")
	}
	b.inputs[2].Row.Accept = "read again on a second instrument"
	c = b.assess(t).Cells.At(0)
	if q := c.Measurements[2].Quality; c.Latest != 2 || !q.Accepted || q.AcceptedByHand != "read again on a second instrument" {
		t.Errorf("latest %d, %+v", c.Latest, q)
	}
}

// A spectrum that is rejected is fitted by itself: the others come out as if it were not there.
func TestRejectedSpectrumWeighsOnNoOther(t *testing.T) {
	b := threeCells()
	b.spoil(1)
	with := b.assess(t).Cells.At(0)
	b.inputs = append(b.inputs[:1], b.inputs[2:]...)
	without := b.assess(t).Cells.At(0)
	if with.Measurements[2].ChargeTransferGrowth.Ratio != without.Measurements[1].ChargeTransferGrowth.Ratio {
		t.Errorf("%v with it, %v without", with.Measurements[2].ChargeTransferGrowth.Ratio, without.Measurements[1].ChargeTransferGrowth.Ratio)
	}
}

// Of a first day with spectra at two states of charge only those count that agree with its first.
func TestFirstDayOfTwoStatesOfCharge(t *testing.T) {
	full := row("A", 0, 25)
	full.SOCPercent = pointer(90)
	b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1, 0.7), full).add(fresh, row("A", 0, 25)).add(fresh, row("A", 200, 25))
	b.job.Conditions.SOCPercent = nil
	c := b.assess(t).Cells.At(0)
	if got := c.Baseline.Measurements; len(got) != 2 || got[0] != 0 || got[1] != 2 || !strings.Contains(c.Baseline.Note, "state of charge differs: 1") {
		t.Errorf("%+v", c.Baseline)
	}
}

// What is fitted together: histories alone, single spectra with those of the same state of charge, everything where other cells are the baseline.
func TestBatches(t *testing.T) {
	cell := func(name string, spectra int, soc float64) *specimen {
		s := &specimen{Cell: &Cell{Name: name}}
		for range spectra {
			r := row(name, 0, 25)
			r.SOCPercent = pointer(soc)
			s.Measurements = append(s.Measurements, Measurement{Row: &r, Quality: Quality{Accepted: true}})
		}
		return s
	}
	cells := []*specimen{cell("A", 3, 50), cell("B", 1, 50), cell("C", 1, 80), cell("D", 1, 52), cell("E", 1, 78)}
	names := func(j *job.Job) (list string) {
		var alone, together []*specimen
		for _, s := range cells {
			if (grounds{job: j}).joins(s) {
				together = append(together, s)
			} else {
				alone = append(alone, s)
			}
		}
		for _, batch := range append([][]*specimen{alone}, bySOC(together, j)...) {
			for _, s := range batch {
				list += s.Name
			}
			list += " "
		}
		return list
	}
	j := syntheticJob()
	if got := names(j); got != "A BD EC " {
		t.Errorf("%q", got)
	}
	j.Baseline.Source = job.ReferenceCells
	if got := names(j); got != " ABD EC " {
		t.Errorf("%q", got)
	}
}

func TestBaselinePassesOverWhatTheJobDoesNotAskFor(t *testing.T) {
	off := row("A", 0, 25)
	off.SOCPercent = pointer(80)
	b := newBench().add(fresh, off).add(fresh, row("A", 10, 25)).add(aged(fresh, 1, 1.2), row("A", 200, 25))
	c := b.assess(t).Cells.At(0)
	if len(c.Baseline.Measurements) != 1 || c.Baseline.Measurements[0] != 1 || !strings.Contains(c.Baseline.Note, "passed over: 1") {
		t.Errorf("%+v", c.Baseline)
	}
	if c.Verdict != Pass {
		t.Errorf("%v %q", c.Verdict, c.Reason)
	}
}

func TestCapacityAndStateOfHealth(t *testing.T) {
	b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1, 1.25), row("A", 200, 25))
	b.inputs[0].Row.CapacityAh, b.inputs[1].Row.CapacityAh = pointer(2.5), pointer(2.2)
	b.job.Limits = append(b.job.Limits, job.Limit{Quantity: job.CapacityRetention, Side: job.Min, Bound: 0.88}, job.Limit{Quantity: job.ResistanceStateOfHealth, Side: job.Min, Bound: 0.5})
	a := b.assess(t)
	k := criterionOf(t, a.Cells.At(0), job.CapacityRetention)
	if k.Verdict != Pass || math.Abs(k.Value.Estimate()-0.88) > 1e-12 || !k.Unstated || k.AcceptanceLimit != 0.88 || !strings.Contains(k.Reason, "No uncertainty is stated") {
		t.Errorf("at its limit without stated uncertainty: %+v", k)
	}
	for _, x := range []float64{k.ExpandedUncertainty, k.Lower, k.Upper, k.ProbabilityOfConformity} {
		if !math.IsNaN(x) {
			t.Errorf("%v is claimed without stated uncertainty", x)
		}
	}
	// Doubling is the end of life: R_new 20, R_EoL 40, R 25 mΩ leave 75 % (common practice).
	soh := criterionOf(t, a.Cells.At(0), job.ResistanceStateOfHealth)
	growth := criterionOf(t, a.Cells.At(0), job.ChargeTransferGrowth)
	near(t, "state of health", soh.Value.Estimate(), 2-growth.Value.Estimate(), 1e-12)
	near(t, "state of health", soh.Value.Estimate(), 0.75, soh.ExpandedUncertainty)
	near(t, "its uncertainty", soh.Value.StandardUncertainty(), growth.Value.StandardUncertainty(), 1e-12)
	// Of several limits the strictest ends the life.
	b.job.Limits = append(b.job.Limits, job.Limit{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 3})
	near(t, "state of health", criterionOf(t, b.assess(t).Cells.At(0), job.ResistanceStateOfHealth).Value.Estimate(), soh.Value.Estimate(), 1e-12)
	if !hasDoubt(a, "capacity-without-uncertainty") {
		t.Errorf("doubts %+v", a.Doubts)
	}
}

func hasDoubt(a *Assessment, code string) bool {
	for _, d := range a.Doubts {
		if d.Code == code {
			return true
		}
	}
	return false
}

func TestGrades(t *testing.T) {
	b := threeCells()
	limit := func(bound float64) []job.Limit {
		return []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: bound}}
	}
	b.job.Grades = []job.Grade{{Name: "first", Limits: limit(1.3)}, {Name: "second", Limits: limit(1.8)}, {Name: "none of it"}}
	a := b.assess(t)
	for i, want := range []string{"second", "", ""} {
		if got := a.Cells.At(i).Grade; got != want {
			t.Errorf("%s: grade %q, want %q", a.Cells.At(i).Name, got, want)
		}
	}
}

// A temperature series that is judged by itself cannot tell ageing from temperature, and says so.
func TestMeasuredSeriesIsDoubted(t *testing.T) {
	b := newBench()
	for k, celsius := range []float64{25, 35, 15, 20} {
		b.add(fresh, row("A", k, celsius))
	}
	b.job.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionMeasured}
	a := b.assess(t)
	ct, o := a.Temperature.ChargeTransfer, a.Temperature.Ohmic
	near(t, "charge transfer", ct.Estimate(), 50, 2*ct.StandardUncertainty())
	near(t, "ohmic", o.Estimate(), 12, 2*o.StandardUncertainty())
	if !hasDoubt(a, "series-confounded-with-ageing") || hasDoubt(a, "activation-energy-unusual") {
		t.Errorf("doubts %+v", a.Doubts)
	}
}

func TestReferenceCellsEndToEnd(t *testing.T) {
	b := newBench()
	for k, f := range []float64{0.97, 1.02, 1.01} {
		b.add(aged(fresh, f, f), row(fmt.Sprintf("R%d", k), k, 25))
	}
	b.add(aged(fresh, 1.2, 1.5), row("A", 100, 25))
	b.job.Baseline = job.Baseline{Source: job.ReferenceCells, Cells: []string{"R0", "R1", "R2"}}
	a := b.assess(t)
	k := criterionOf(t, a.Cells.At(3), job.ChargeTransferGrowth)
	if k.Verdict != Pass || math.Abs(k.Value.Estimate()-1.5) > k.ExpandedUncertainty {
		t.Errorf("%v %v ± %v, %q", k.Verdict, k.Value.Estimate(), k.ExpandedUncertainty, k.Reason)
	}
}

func TestJobsWithLittleInThem(t *testing.T) {
	empty := &bench{job: syntheticJob()}
	if a := empty.assess(t); a.Verdict != NotEvaluated || a.Cells.Len() != 0 {
		t.Errorf("%+v", a)
	}
	for _, source := range []job.BaselineSource{job.First, job.ReferenceCells, job.Declared} {
		for _, correction := range []job.CorrectionSource{job.CorrectionDeclared, job.CorrectionMeasured, job.CorrectionNone} {
			b := threeCells()
			b.job.Baseline.Source, b.job.TemperatureCorrection.Source = source, correction
			b.job.TemperatureCorrection.Ohmic = nil
			for i := range b.inputs {
				b.spoil(i)
			}
			b.keep(0, func(float64) bool { return false })
			b.keep(1, func(hz float64) bool { return hz == 1000 })
			a := b.assess(t)
			if a.Verdict != NotEvaluated || a.Counts.NotEvaluated != 3 || a.Cells.At(0).Latest != -1 {
				t.Errorf("%s, %s: %v %+v", source, correction, a.Verdict, a.Counts)
			}
		}
	}
	b := threeCells()
	b.job.Limits = nil
	if a := b.assess(t); a.Verdict != NotEvaluated || !strings.Contains(a.Cells.At(0).Reason, "no limits") {
		t.Errorf("%v %q", a.Verdict, a.Cells.At(0).Reason)
	}
}

func TestProgressAndEnd(t *testing.T) {
	b := threeCells()
	b.assess(t)
	last := 0
	e := Evidence{Job: b.job, Inputs: b.inputs}
	_, err := Assess(context.Background(), e, func(done, total int) {
		if done <= last || total != 6 {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last = done
	})
	if err != nil || last != 6 {
		t.Errorf("%v, %d done", err, last)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if a, err := Assess(ctx, e, nil); a != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("%v %v", a, err)
	}
}

// A cell with a thousandfold impedance grows by the same factors and gets the same verdicts.
func TestScaledSpectraLeaveVerdicts(t *testing.T) {
	b := threeCells()
	plain := b.assess(t)
	b.job.Instrument.AbsoluteUncertaintyOhm *= 1000
	for _, in := range b.inputs {
		for k := range in.Spectrum.Impedance {
			in.Spectrum.Impedance[k] *= 1000
		}
	}
	large := b.assess(t)
	for i, c := range plain.Cells.All() {
		for k, want := range c.Criteria {
			got := large.Cells.At(i).Criteria[k]
			if got.Verdict != want.Verdict || got.Value.Known() && math.Abs(got.Value.Estimate()/want.Value.Estimate()-1) > 1e-5 {
				t.Errorf("%s %s: %v %v, want %v %v", c.Name, want.Quantity, got.Verdict, got.Value, want.Verdict, want.Value)
			}
		}
	}
}

// A stricter limit never improves a cell's verdict, under any rule.
func TestStricterLimitsNeverImproveAVerdict(t *testing.T) {
	b := threeCells()
	for kind := range rules {
		last := -1
		for bound := 3.0; bound > 1; bound -= 0.05 {
			b.job.DecisionRule.Kind = kind
			b.job.Limits = []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: bound}}
			g := gravity[b.judged(t).Cells.At(1).Verdict]
			if g < last {
				t.Fatalf("%s: better at %v", kind, bound)
			}
			last = g
		}
		if last != gravity[Fail] {
			t.Errorf("%s: a growth of 2.6 was never failed", kind)
		}
	}
}

// judged assesses without fitting again where the spectra are the same.
func (b *bench) judged(t *testing.T) *Assessment {
	t.Helper()
	if b.cells == nil {
		b.cells = specimens(b.inputs)
		if err := (grounds{job: b.job}).examine(context.Background(), b.cells, b.cells, nil, func(*specimen) {}); err != nil {
			t.Fatal(err)
		}
	}
	a := &Assessment{Job: b.job}
	g, _ := grounds{job: b.job}.correct(b.cells)
	var cells []Cell
	for _, s := range b.cells {
		once := *s
		once.Cell = new(*s.Cell)
		once.footing = g.footingOf(&once, nil)
		g.judge(&once)
		cells = append(cells, *once.Cell)
	}
	a.Cells = CellsOf(cells)
	return a
}
