package health

import (
	"math"
	"strings"
	"testing"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// Leads of these tests: one metre of AWG 18 copper there and back and the loop that they make, which is what the wire formula and
// the inductance of straight round wire give (0.127·92^((36−n)/39) mm and 1.7241e-8 Ω·m, NBS Handbook 100; Rosa 1908).
const (
	leadOhm   = 0.0419
	leadHenry = 3e-6
)

// shortedLeads are the spectrum of the shorted fixture, without noise.
func shortedLeads(like *spectrum.Spectrum) *spectrum.Spectrum {
	s := &spectrum.Spectrum{File: "spectra/short.csv", Frequency: like.Frequency}
	for _, hz := range like.Frequency {
		s.Impedance = append(s.Impedance, complex(leadOhm, 2*math.Pi*hz*leadHenry))
	}
	return s
}

// twoWired is a history of one cell whose second measurement was made with two wires.
func twoWired() *bench {
	r := row("A", 200, 25)
	r.Sensing = twoWire
	b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1.2, 1.4), r)
	leads := shortedLeads(b.inputs[1].Spectrum)
	for k, z := range leads.Impedance {
		b.inputs[1].Spectrum.Impedance[k] += z
	}
	b.job.Limits = append(b.job.Limits, job.Limit{Quantity: job.ACResistance1kHzOhm, Side: job.Max, Bound: 0.05}, job.Limit{Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.05})
	return b
}

// The size of the wire formula itself (C12): AWG 18 is 20.9478 mΩ/m, and one metre of 1 mm wire has 1.5088 µH at d.c.
func TestLeadMagnitudes(t *testing.T) {
	d := 0.127e-3 * math.Pow(92, (36.-18)/39)
	near(t, "AWG 18", 1.7241e-8/(math.Pi*d*d/4), 20.9478e-3, 1e-6)
	near(t, "there and back", 2*1.7241e-8/(math.Pi*d*d/4), leadOhm, 1e-4)
	near(t, "straight wire", 0.2e-6*(math.Log(4/1e-3)-0.75), 1.5088e-6, 1e-10)
	near(t, "as the checks take it", straightLead, 1.5088e-6, 2e-8)
}

func TestTwoWiresWithoutCorrection(t *testing.T) {
	c := twoWired().assess(t).Cells.At(0)
	for _, q := range []job.Quantity{job.OhmicGrowth, job.ACResistance1kHzOhm, job.OhmicOhm} {
		if k := criterionOf(t, c, q); k.Verdict != NotEvaluated {
			t.Errorf("%s: %v %v", q, k.Verdict, k.Value)
		}
	}
	if k := criterionOf(t, c, job.ChargeTransferGrowth); k.Verdict != Pass {
		t.Errorf("arc: %q", k.Reason)
	}
	if m := &c.Measurements[1]; !m.ACResistance1kHz.Known() || !m.touching(job.ACResistance1kHzOhm).says() {
		t.Errorf("at 1 kHz %v as measured, and %q against judging it", m.ACResistance1kHz, m.touching(job.ACResistance1kHzOhm).Code)
	}
}

// The correction restores what the leads took: growth, absolute values and the value at 1 kHz, by either way of stating it.
func TestFixtureCorrectionRestoresComparability(t *testing.T) {
	stated := &job.FixtureCorrection{Resistance: &job.Stated{Value: leadOhm, StandardUncertainty: 2e-4}, InductanceH: &job.Stated{Value: leadHenry, StandardUncertainty: 1e-8}}
	for name, correction := range map[string]*job.FixtureCorrection{"stated": stated, "spectrum": {File: "spectra/short.csv"}} {
		b := twoWired()
		b.job.FixtureCorrection = correction
		if name == "spectrum" {
			b.fixture = shortedLeads(b.inputs[1].Spectrum)
		}
		measured := b.inputs[1].Spectrum
		a := b.assess(t)
		c := a.Cells.At(0)
		m := c.Measurements[1]
		if m.Fixture == nil || m.Fixture.Source != name || m.Fixture.Measured != measured || m.Spectrum == measured {
			t.Fatalf("%s: %+v", name, m.Fixture)
		}
		if !m.Quality.Has("fixture-corrected") || m.Quality.Has("two-wire-sensing") || m.Quality.Has("sensing-differs") || c.Measurements[0].Fixture != nil {
			t.Errorf("%s: findings %+v", name, m.Quality.Findings)
		}
		growth := criterionOf(t, c, job.OhmicGrowth)
		near(t, name+": growth", growth.Value.Estimate(), 1.2, growth.ExpandedUncertainty)
		near(t, name+": ohmic", m.OhmicAtReference.Estimate(), 0.024, 3*m.OhmicAtReference.StandardUncertainty())
		near(t, name+": 1 kHz", m.ACResistance1kHz.Estimate(), 0.0242, 3*m.ACResistance1kHz.StandardUncertainty())
		if growth.Verdict == NotEvaluated || hasDoubt(a, "fixture-correction-not-applied") || hasDoubt(a, "fixture-not-like-leads") {
			t.Errorf("%s: %v %q %v", name, growth.Verdict, growth.Reason, a.Doubts)
		}
		if text := m.Quality.Findings[0].Message; !strings.Contains(text, "compares with four-wire") {
			t.Errorf("%s: %q", name, text)
		}
	}
}

// The correction's uncertainty is that of R in ohm, so in ln R_Ω it is u/R; at 1 kHz it counts along the impedance; the arc has
// none of it.
func TestFixtureCorrectionIsInTheBudget(t *testing.T) {
	b := twoWired()
	b.job.FixtureCorrection = &job.FixtureCorrection{Resistance: &job.Stated{Value: leadOhm, StandardUncertainty: 1e-3}, InductanceH: &job.Stated{Value: leadHenry, StandardUncertainty: 5e-7}}
	c := b.assess(t).Cells.At(0)
	m := c.Measurements[1]
	ohm := m.Fit.Ohmic.Estimate()
	near(t, "growth", share(t, criterionOf(t, c, job.OhmicGrowth).Contributions, fixtureEffect), 1e-3/ohm, 1e-9)
	near(t, "ohmic", share(t, criterionOf(t, c, job.OhmicOhm).Contributions, fixtureEffect), 1e-3*m.OhmicAtReference.Estimate()/ohm, 1e-9)
	z, _, _ := impedanceAt(m.Spectrum, 1000)
	want := math.Hypot(real(z)*1e-3, imag(z)*2*math.Pi*1000*5e-7) / math.Hypot(real(z), imag(z))
	near(t, "1 kHz", share(t, criterionOf(t, c, job.ACResistance1kHzOhm).Contributions, fixtureEffect), want, 1e-9)
	if u := m.ACResistance1kHz.StandardUncertainty(); u < want {
		t.Errorf("the value at 1 kHz is stated to %v Ω, the correction alone is %v Ω", u, want)
	}
	for _, l := range criterionOf(t, c, job.ChargeTransferGrowth).Contributions {
		if l.Source == fixtureEffect {
			t.Errorf("the arc has %+v", l)
		}
	}
}

// Of two measurements that the same leads are taken from, their error cancels as far as the resistances are equal.
func TestFixtureErrorIsSharedByTheBaseline(t *testing.T) {
	b := twoWired()
	b.inputs[0].Row.Sensing = twoWire
	for k, z := range shortedLeads(b.inputs[0].Spectrum).Impedance {
		b.inputs[0].Spectrum.Impedance[k] += z
	}
	b.job.FixtureCorrection = &job.FixtureCorrection{Resistance: &job.Stated{Value: leadOhm, StandardUncertainty: 1e-3}}
	c := b.assess(t).Cells.At(0)
	now, then := c.Measurements[1].Fit.Ohmic.Estimate(), c.Measurements[0].Fit.Ohmic.Estimate()
	near(t, "growth", share(t, criterionOf(t, c, job.OhmicGrowth).Contributions, fixtureEffect), 1e-3/then-1e-3/now, 1e-6)
}

// Where all measurements have four wires the shorted fixture is what is left of it, and is taken from all.
func TestFixtureCorrectionOfFourWires(t *testing.T) {
	b := newBench().add(fresh, row("A", 0, 25)).add(fresh, row("A", 200, 25))
	b.job.FixtureCorrection = &job.FixtureCorrection{InductanceH: &job.Stated{Value: 1e-7, StandardUncertainty: 1e-8}}
	for _, m := range b.assess(t).Cells.At(0).Measurements {
		if m.Fixture == nil {
			t.Fatal("not corrected")
		}
		near(t, "inductance left", m.Fit.Inductance.Estimate(), 1e-7, 5e-9)
	}
}

func TestFixtureCorrectionThatCannotBe(t *testing.T) {
	b := twoWired()
	b.job.FixtureCorrection = &job.FixtureCorrection{File: "spectra/short.csv"}
	a := b.assess(t) // whose spectrum nobody read
	if !hasDoubt(a, "fixture-correction-not-applied") || !a.Cells.At(0).Measurements[1].Quality.Has("two-wire-sensing") {
		t.Errorf("doubts %+v", a.Doubts)
	}
	b = twoWired()
	b.job.FixtureCorrection = &job.FixtureCorrection{File: "spectra/short.csv"}
	b.fixture = sweep(fresh, 0, 1) // the cell was still in
	if a := b.assess(t); !hasDoubt(a, "fixture-not-like-leads") {
		t.Errorf("doubts %+v", a.Doubts)
	}
	b = twoWired()
	b.job.FixtureCorrection = &job.FixtureCorrection{Resistance: &job.Stated{Value: 0.2}}
	if m := b.assess(t).Cells.At(0).Measurements[1]; !m.Quality.Has("impossible-spectrum") || m.Quality.Accepted {
		t.Errorf("too much taken away: %+v", m.Quality.Findings)
	}
}

// Between its points the shorted fixture is interpolated; beyond its band leads are a resistance below and an inductance above.
func TestShortedFixtureBeyondItsBand(t *testing.T) {
	like := &spectrum.Spectrum{}
	for hz := 5000.; hz > 9; hz /= 1.7 {
		like.Frequency = append(like.Frequency, hz)
	}
	c := measuredShort(shortedLeads(like), job.Instrument{AbsoluteUncertaintyOhm: 2e-5})
	for _, hz := range []float64{50000, 5000, 1234, 77, 10, 0.01} {
		z, u, _ := c.at(hz)
		near(t, "resistance", real(z), leadOhm, 1e-9)
		near(t, "inductance", imag(z)/(2*math.Pi*hz), leadHenry, 0.02*leadHenry)
		if u < 2e-5 {
			t.Errorf("at %v Hz the uncertainty is %v Ω", hz, u)
		}
	}
}

// A correction that leaves little of the cell is told as the cause, in place of units and bands, and decides nothing.
func TestCorrectionTooLarge(t *testing.T) {
	b := twoWired()
	b.job.FixtureCorrection = &job.FixtureCorrection{Resistance: &job.Stated{Value: leadOhm + 0.021, StandardUncertainty: 2e-4}, InductanceH: &job.Stated{Value: leadHenry}}
	b.job.Cell.RatedACResistance1kHzOhm = 0.02
	c := b.assess(t).Cells.At(0)
	m := c.Measurements[1]
	if !m.Quality.Has("fixture-correction-large") {
		t.Fatalf("%+v", m.Quality.Findings)
	}
	if k := criterionOf(t, c, job.OhmicGrowth); k.Verdict != NotEvaluated {
		t.Errorf("growth is judged: %v %v", k.Verdict, k.Value)
	}
	v := &sight{job: b.job, row: m.Row, spectrum: m.Spectrum, fixture: m.Fixture}
	for i := range v.spectrum.Impedance {
		v.spectrum.Impedance[i] /= 30
	}
	if say := english(t); !strings.Contains(say.Part(Finding{Code: "magnitude-implausible", Facts: seeImplausible(v)}, "likely"), "fixture correction") {
		t.Error("the unit alone is blamed")
	}
	if v.arcless() != "correction" {
		t.Errorf("the arc is lost by %q", v.arcless())
	}
}
