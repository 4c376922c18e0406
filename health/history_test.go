package health

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"strings"
	"testing"
	"time"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// A history of a cell with a fault at one of its measurements: five a quarter of a year apart, ageing a little between.
type historyFault struct {
	name, unit, code string
	sizes            []float64
	clear, bad       float64
	at               int     // the measurement that the finding is about
	ageing           float64 // between measurements: 1 is 1 % of the ohmic resistance, 6 % of the arc
	plant            func(b *bench, size float64)
}

// course is such a history without fault; its cell ages by so much of what cells do.
func course(seed uint64, ageing float64) *bench {
	b := newBench()
	p := sound(seed)
	cell := p.cell
	for k := range 5 {
		r := row("A", 90*k, 25)
		r.Cycles, r.CapacityAh = pointer(float64(100*k)), pointer(2.5*(1-0.01*float64(k)))
		r.Fixture = "holder"
		b.add(cell, r)
		b.inputs[k].Spectrum = sweep(cell, 0.001, p.random.Uint64())
		cell = aged(cell, 1+ageing*(0.01+0.005*p.random.Float64()), 1+ageing*(0.05+0.02*p.random.Float64()))
	}
	return b
}

// moved adds a resistance to a measurement's spectrum.
func (b *bench) moved(i int, ohm float64) {
	for k := range b.inputs[i].Spectrum.Impedance {
		b.inputs[i].Spectrum.Impedance[k] += complex(ohm, 0)
	}
}

// scaled multiplies a measurement's spectrum.
func (b *bench) scaled(i int, by float64) {
	for k := range b.inputs[i].Spectrum.Impedance {
		b.inputs[i].Spectrum.Impedance[k] *= complex(by, 0)
	}
}

// exchanged leaves the first and the last row, and the file of the new cell with the last, that of the aged one with the first.
func (b *bench) exchanged(old fit.Parameters) {
	b.inputs = []Input{b.inputs[0], b.inputs[4]}
	b.inputs[0].Spectrum, b.inputs[1].Spectrum = sweep(old, 0.001, 1), sweep(fresh, 0.001, 2)
}

// widened measures a cell again whose arc is as many times as large.
func (b *bench) widened(t float64, i int) {
	p := aged(fresh, 1, t)
	for k, hz := range b.inputs[i].Spectrum.Frequency {
		b.inputs[i].Spectrum.Impedance[k] += p.Impedance(hz) - fresh.Impedance(hz)
	}
}

var histories = []historyFault{
	{"clip at one measurement", "mΩ", "shift-rigid", []float64{0.1, 0.3, 1, 2, 3, 5, 10, 100}, 1, 5, 2, 1, func(b *bench, size float64) { b.moved(2, size/1000) }},
	{"clip at one measurement, little", "mΩ", "shift-slight", []float64{0, 0.1, 0.3, 0.6, 0.9, 1.2}, 0.1, 0.6, 2, 0, func(b *bench, size float64) { b.moved(2, size/1000) }},
	{"clip mended again", "mΩ", "shift-undone", []float64{0, 0.3, 1, 5, 10}, 1, 5, 3, 1, func(b *bench, size float64) { b.moved(2, size/1000) }},
	{"clip from one measurement on", "mΩ", "shift-carried", []float64{0, 0.3, 1, 5, 10}, 1, 5, 4, 1, func(b *bench, size float64) {
		for i := 3; i < 5; i++ {
			b.moved(i, size/1000)
		}
	}},
	{"clip at the second of two measurements, little", "mΩ", "ohmic-ahead-of-arc", []float64{0, 1, 5, 8}, 1, 5, 1, 1, func(b *bench, size float64) {
		b.inputs = []Input{b.inputs[0], b.inputs[4]}
		b.moved(1, size/1000)
	}},
	{"clip at the second of two measurements", "mΩ", "ohmic-far-ahead-of-arc", []float64{0, 1, 3, 8, 12}, 3, 8, 1, 1, func(b *bench, size float64) {
		b.inputs = []Input{b.inputs[0], b.inputs[4]}
		b.moved(1, size/1000)
	}},
	{"clip at the first of two measurements", "mΩ", "ohmic-far-ahead-of-arc", []float64{0, 1, 5, 12}, 1, 5, 1, 1, func(b *bench, size float64) {
		b.inputs = []Input{b.inputs[0], b.inputs[4]}
		b.moved(0, size/1000)
	}},
	{"clip at the first measurement", "mΩ", "first-ohmic-unlike-following", []float64{0, 0.3, 1, 5, 10}, 1, 5, 0, 1, func(b *bench, size float64) { b.moved(0, size/1000) }},
	{"arc of the first measurement too wide", "%", "first-arc-unlike-following", []float64{0, 5, 10, 30, 50, 100}, 10, 50, 0, 1, func(b *bench, size float64) { b.widened(1+size/100, 0) }},
	{"arc of one measurement too wide", "%", "step-alone", []float64{0, 5, 10, 20, 40, 70, 100}, 10, 40, 2, 1, func(b *bench, size float64) { b.widened(1+size/100, 2) }},
	{"capacity of one measurement wrong", "%", "step-alone", []float64{0, 1, 3, 10, 30}, 3, 10, 2, 1, func(b *bench, size float64) {
		*b.inputs[2].Row.CapacityAh *= 1 - size/100
	}},
	{"same data under two dates", "", "duplicate-data", []float64{0, 1}, 0, 1, 2, 1, func(b *bench, size float64) {
		if size == 1 {
			b.inputs[2].Spectrum = b.inputs[1].Spectrum
		}
	}},
	{"same data exported anew, of some digits", "digits", "duplicate-data", []float64{0, 2, 5, 6}, 2, 5, 2, 1, func(b *bench, size float64) {
		if size == 0 {
			return
		}
		s := *b.inputs[1].Spectrum
		s.Frequency, s.Impedance = slices.Clone(s.Frequency), slices.Clone(s.Impedance)
		for i, z := range s.Impedance {
			unit := math.Pow(10, math.Floor(math.Log10(cmplx.Abs(z)))+1-size)
			s.Impedance[i] = complex(math.Round(real(z)/unit)*unit, math.Round(imag(z)/unit)*unit)
			s.Frequency[i] = float64(float32(s.Frequency[i]))
		}
		b.inputs[2].Spectrum = &s
	}},
	{"same data under two cells", "", "duplicate-across-cells", []float64{0, 1}, 0, 1, 2, 1, func(b *bench, size float64) {
		other := row("B", 7, 25)
		b.add(fresh, other)
		if size == 1 {
			b.inputs[5].Spectrum = b.inputs[2].Spectrum
		}
	}},
	{"cycles fall", "", "time-reversed", []float64{-100, 0, 1, 100}, 0, 1, 2, 1, func(b *bench, size float64) {
		*b.inputs[2].Row.Cycles = *b.inputs[1].Row.Cycles - size
	}},
	{"moments, of an hour apart, nearer by", "", "moment-doubled", []float64{0, 0.5, 0.98, 0.99, 1}, 0.98, 0.99, 2, 1, func(b *bench, size float64) {
		b.inputs[2].Row.HasTime, b.inputs[3].Row.HasTime = true, true
		b.inputs[2].Row.MeasuredAt = b.inputs[3].Row.MeasuredAt.Add(-time.Duration((1 - size) * float64(time.Hour)))
	}},
	{"arc of one of two measurements of a day too wide", "%", "day-apart", []float64{0, 5, 10, 40, 70, 100}, 10, 40, 4, 1, func(b *bench, size float64) {
		b.inputs[4].Row.MeasuredAt, b.inputs[4].Row.Cycles = b.inputs[3].Row.MeasuredAt, b.inputs[3].Row.Cycles
		b.widened(1+size/100, 4)
	}},
	{"arc of one of two measurements of the first day too wide", "%", "baseline-apart", []float64{0, 5, 10, 40, 70, 100}, 10, 40, 4, 1, func(b *bench, size float64) {
		b.inputs[1].Row.MeasuredAt, b.inputs[1].Row.Cycles = b.inputs[0].Row.MeasuredAt, b.inputs[0].Row.Cycles
		b.widened(1+size/100, 1)
	}},
	{"label mistyped", "", "label-alike", []float64{0, 1}, 0, 1, 2, 1, func(b *bench, size float64) {
		for i := range b.inputs {
			b.inputs[i].Row.Cell = "TM-01"
		}
		if size == 1 {
			b.inputs[3].Row.Cell, b.inputs[4].Row.Cell = "TM-O1", "TM-O1"
		}
	}},
	{"capacity rises", "%", "capacity-rose", []float64{-10, 0, 3, 8, 100}, 3, 8, 4, 1, func(b *bench, size float64) {
		for k := range b.inputs {
			b.inputs[k].Row.CapacityAh = pointer(2.5 * (1 + size/100*float64(k)/4))
		}
	}},
	{"sweep stopped at", "Hz", "band-shorter", []float64{0.01, 0.03, 0.1, 1}, 0.03, 0.1, 2, 1, func(b *bench, size float64) { b.top(2, 0.99*size) }},
	{"files of two dates exchanged, arc grown", "times", "resistances-fell", []float64{1, 1.1, 1.5, 1.8}, 1.1, 1.5, 1, 1, func(b *bench, size float64) {
		b.exchanged(aged(fresh, 1+(size-1)/4, size))
	}},
	{"files of two dates exchanged, ohmic resistance as it was, arc grown", "times", "arc-fell", []float64{1, 1.1, 1.5, 1.8}, 1.1, 1.5, 1, 1, func(b *bench, size float64) {
		b.exchanged(aged(fresh, 1, size))
	}},
	{"all resistances fall to a", "part", "ohmic-implausible", []float64{1, 1.5, 3, 50}, 1.5, 3, 2, 1, func(b *bench, size float64) { b.scaled(2, 1/size) }},
	{"all resistances fall to a", "part", "charge-transfer-implausible", []float64{1, 1.5, 3, 50}, 1.5, 3, 2, 1, func(b *bench, size float64) { b.scaled(2, 1/size) }},
	{"baseline too large", "times", "ohmic-implausible", []float64{1, 1.5, 3, 50}, 1.5, 3, 3, 1, func(b *bench, size float64) { b.scaled(0, size) }},
	{"all resistances grow at once", "times", "ohmic-implausible", []float64{1, 3, 8, 15, 90}, 8, 15, 3, 1, func(b *bench, size float64) { b.scaled(3, size) }},
	{"all resistances grow at once", "times", "charge-transfer-implausible", []float64{1, 3, 8, 15, 90}, 8, 15, 3, 1, func(b *bench, size float64) { b.scaled(3, size) }},
	{"one file's frequencies, a part", "times", "frequency-unlike-others", []float64{1, 10, 1000}, 10, 1000, 2, 1, func(b *bench, size float64) {
		for i := range b.inputs { // of a band that is no wrong one by itself
			s := b.inputs[i].Spectrum
			s.Frequency, s.Impedance, s.Line = slices.Clone(s.Frequency[16:41]), s.Impedance[16:41], s.Line[16:41]
		}
		for k := range b.inputs[2].Spectrum.Frequency {
			b.inputs[2].Spectrum.Frequency[k] /= size
		}
	}},
	{"one file in another unit", "times", "magnitude-unlike-others", []float64{1, 10, 1000}, 10, 1000, 2, 1, func(b *bench, size float64) {
		b.scaled(2, size)
	}},
}

// How often a fault of a history is found, by its size. Run with -v for the table.
func TestDetectionRatesInHistories(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	const seeds = 3
	for _, f := range histories {
		line := fmt.Sprintf("%-42s %-28s", f.name, f.code)
		for _, size := range f.sizes {
			if size > f.clear && size < f.bad && !testing.Verbose() {
				continue // between the two nothing is promised; the rates are for the eye
			}
			share := 0.0
			for seed := range seeds {
				b := course(uint64(seed), f.ageing)
				f.plant(b, size)
				q := b.assess(t).Cells.At(0).Measurements[f.at].Quality
				if q.Has(f.code) || size >= f.bad && q.Has(insteadOf[f.code]) {
					share += 1. / seeds
				}
			}
			line += fmt.Sprintf("  %g: %.0f %%", size, 100*share)
			if share > 0 && size <= f.clear || share < 1-1e-9 && size >= f.bad {
				t.Errorf("%s of %g %s is found in %.0f %%", f.name, size, f.unit, 100*share)
			}
		}
		t.Log(line, f.unit)
	}
}

// A cell whose ohmic resistance grows with every measurement while its arc stays is ageing, however little its arc shows: no step.
func TestSteadyOhmicGrowthIsNoShift(t *testing.T) {
	b := newBench()
	for k := range 6 {
		b.add(aged(fresh, 1+0.12*float64(k), 1+0.001*float64(k)), row("A", 90*k, 25))
	}
	for _, m := range b.assess(t).Cells.At(0).Measurements {
		if len(m.Quality.Findings) > 0 {
			t.Errorf("%s: %+v", m.Row.File, m.Quality.Findings)
		}
	}
}

// A sweep of a fresh cell at the end of an aged cell's history is another cell's: no arc goes back to half of what it was.
func TestArcDoesNotGoBack(t *testing.T) {
	for last, want := range map[float64]bool{2.3: false, 1.6: false, 0.9: true} {
		b := newBench()
		for k, arc := range []float64{1, 1.5, 2.2, last} {
			b.add(aged(fresh, 1+0.03*float64(k), arc), row("A", 90*k, 25))
		}
		a := b.assess(t)
		if got := a.Cells.At(0).Measurements[3].Quality.Has("charge-transfer-implausible"); got != want {
			t.Errorf("%v times the first, after 2.2 times: found %v", last, got)
		}
		for _, f := range a.Cells.At(0).Measurements[3].Quality.Findings { // beside an ohmic resistance as it was it is no unit
			if f.Code == "charge-transfer-implausible" && !strings.Contains(f.Message, "A wrong unit it is not") {
				t.Errorf("%q", f.Message)
			}
		}
		if k := criterionOf(t, a.Cells.At(0), job.ChargeTransferGrowth); want && k.Verdict != NotEvaluated {
			t.Errorf("%v times the first, after 2.2 times: %v", last, k.Verdict)
		}
	}
}

// Growth of the ohmic resistance together with its arc is the cell's.
func TestGrowthWithTheArcIsNoShift(t *testing.T) {
	b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1.3, 1.5), row("A", 300, 25))
	for _, m := range b.assess(t).Cells.At(0).Measurements {
		if len(m.Quality.Findings) > 0 {
			t.Errorf("%s: %+v", m.Row.File, m.Quality.Findings)
		}
	}
}

// Two measurements do not tell a contact from the cell, unless the arc stays; that the ohmic resistance went ahead of it is said.
func TestContactOfAPair(t *testing.T) {
	const code = "ohmic-far-ahead-of-arc"
	for _, c := range []struct {
		first, second, arc float64 // mΩ of contact, and growth of the arc beside 7 % of the ohmic resistance
		want               string
	}{
		{0, 0, 1.2, ""}, {0, 1, 1.2, ""}, {0, 5, 1.2, code}, {0, 12, 1.2, code}, {0, 5, 1.1, code}, {0, 12, 1.3, code},
		{0, 0, 2, ""}, {5, 0, 1.2, code},
	} {
		b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1.07, c.arc), row("A", 700, 23))
		b.inputs[1].Spectrum = sweep(warmed(aged(fresh, 1.07, c.arc), 23), 0.001, 7)
		b.moved(0, c.first/1000)
		b.moved(1, c.second/1000)
		q := b.assess(t).Cells.At(0).Measurements[1].Quality
		if q.Has(code) != (c.want == code) || c.want != "" && !q.Has(c.want) {
			t.Errorf("%+v: %+v", c, q.Findings)
		}
	}
}

// Of an aged cell that is clipped on again the contact that went away decides nothing, and one that stays is not told from the cell.
func TestContactOfThree(t *testing.T) {
	old := aged(fresh, 1.07, 1.3)
	for _, c := range []struct {
		second, third float64 // mΩ of contact
		evaluated     bool
	}{{0, 0, true}, {5, 0, true}, {12, 0, true}, {12, 12, false}, {0, 12, false}} {
		b := newBench().add(fresh, row("A", 0, 25)).add(old, row("A", 700, 24)).add(old, row("A", 701, 24))
		b.moved(1, c.second/1000)
		b.moved(2, c.third/1000)
		g := b.assess(t).Cells.At(0).Measurements[2].OhmicGrowth
		if g.Ratio.Known() != c.evaluated {
			t.Errorf("%+v: %v %s", c, g.Ratio, g.Reason)
		}
	}
}

// The shift that is planted is the shift that is stated, within its uncertainty; so are inductance and arc.
func TestDifferenceIsWhatWasPlanted(t *testing.T) {
	outside := 0
	const trials = 40
	for seed := range uint64(trials) {
		p := sound(seed)
		a := Measurement{Spectrum: p.spectrum, Fit: fit.Spectrum(fit.Measured{Spectrum: p.spectrum})}
		other := p.cell
		other.Ohmic += 0.002
		other.LeadCoefficient += 3e-8
		b := Measurement{Spectrum: sweep(other, 0.002, seed+1000)}
		d, ok := differ(&a, &b)
		if !ok {
			t.Fatal("not comparable")
		}
		near(t, "shift", d.shift.Estimate(), 0.002, 5*d.shift.StandardUncertainty())
		near(t, "inductance", d.inductance.Estimate(), 3e-8, 5*d.inductance.StandardUncertainty())
		near(t, "arc", d.arc.Estimate(), 0, 5*d.arc.StandardUncertainty())
		if math.Abs(d.shift.Estimate()-0.002) > 2*d.shift.StandardUncertainty() {
			outside++
		}
	}
	if outside > trials/6 {
		t.Errorf("%d of %d shifts lie outside of twice their standard uncertainty", outside, trials)
	}
}

// Growths that cannot be never pass: a first file that is too large, by a unit or by less, and a latest file that is a copy of the
// first.
func TestImpossibleGrowthIsNotEvaluated(t *testing.T) {
	for name, plant := range map[string]func(b *bench){
		"first a thousand times too large": func(b *bench) { b.scaled(0, 1000) },
		"first four times too large":       func(b *bench) { b.scaled(0, 4) },
		"latest a copy of the first":       func(b *bench) { b.inputs[1].Spectrum = b.inputs[0].Spectrum },
		"latest twelve times too large":    func(b *bench) { b.scaled(1, 12) },
	} {
		b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1.05, 1.2), row("A", 300, 25))
		plant(b)
		c := b.assess(t).Cells.At(0)
		worst := Severity(0)
		for i := range c.Measurements {
			worst = max(worst, c.Measurements[i].Quality.Gravest())
		}
		if c.Verdict != NotEvaluated || c.Reason == "" || worst < Warning {
			t.Errorf("%s: %v, %q", name, c.Verdict, c.Reason)
		}
	}
}

// Where an aged arc that never closes bends the circuit that the cell's spectra share, it is the one that is told of, and the sound one
// beside it says whose fault it is.
func TestArcThatNeverClosesIsBlamedItself(t *testing.T) {
	b := newBench()
	for i, slow := range []struct{ ohm, seconds float64 }{{0.05, 0.3}, {0.10, 6}} {
		p := fresh
		p.Film, p.FilmTimeConstant, p.FilmExponent = 0.005, 1e-3, 0.85
		p.ChargeTransfer, p.ChargeTransferTimeConstant, p.ChargeTransferExponent = slow.ohm, slow.seconds, 0.85
		b.add(p, row("A", 100*i, 25))
		b.top(i, 0.1)
	}
	list := b.assess(t).Cells.At(0).Measurements
	for i, want := range []struct {
		cause, other, why string
	}{{"history", list[1].Row.File, "unresolved-not-described"}, {"band", "", "unresolved-steep-tail"}} {
		found := list[i].Quality.Findings
		if len(found) != 1 || found[0].Code != "arc-unresolved" {
			t.Fatalf("measurement %d: %+v", i, found)
		}
		facts := map[string]Fact{}
		for _, f := range found[0].Facts {
			facts[f.Name] = f
		}
		if facts["cause"].Text != want.cause || facts["other"].Text != want.other || facts["why"].Within.Code != want.why {
			t.Errorf("measurement %d: %+v", i, found[0])
		}
	}
}
