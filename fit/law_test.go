package fit

import (
	"math"
	"slices"
	"testing"
)

func noisyHistory(seed uint64, n int) []Measured {
	s := sweep{1e4, 0.01, 50, 0.002}
	rng := seeded(seed)
	var h []Measured
	for i := range n {
		h = append(h, s.measured(aged(cellVector(), float64(i)/float64(n)), rng))
	}
	return h
}

// A cell of a thousand times the impedance has a thousand times the resistances, and the same exponents.
func TestScalingLaw(t *testing.T) {
	h := noisyHistory(11, 6)
	big := make([]Measured, len(h))
	for i, m := range h {
		s := *m.Spectrum
		s.Impedance = slices.Clone(s.Impedance)
		for k := range s.Impedance {
			s.Impedance[k] *= 1000
		}
		big[i] = m
		big[i].Spectrum = &s
	}
	a, b := Cell(h), Cell(big)
	for i := range h {
		for e := Ohmic; e < elementCount; e++ {
			x, y := a.Results[i].Resistance(e), b.Results[i].Resistance(e)
			nearReal(t, e.String(), y.Estimate(), 1000*x.Estimate(), 1e-4)
			nearReal(t, "uncertainty of "+e.String(), y.Relative(), x.Relative(), 1e-2)
		}
	}
}

// Fitting twice gives the same bits.
func TestFitIsDeterministic(t *testing.T) {
	h := noisyHistory(12, 8)
	a, b := Cell(h), Cell(h)
	for i := range h {
		if a.Results[i].Parameters != b.Results[i].Parameters || a.Results[i].ChargeTransfer != b.Results[i].ChargeTransfer {
			t.Fatalf("spectrum %d: %v and %v", i, a.Results[i].Parameters, b.Results[i].Parameters)
		}
	}
}

// One spectrum of a faulty measurement (every impedance with half as much again of noise-like error) does not
// move the results of the others beyond their uncertainty.
func TestOneFaultDoesNotDragTheOthers(t *testing.T) {
	h := noisyHistory(13, 12)
	before := Cell(h)
	bad := *h[6].Spectrum
	bad.Impedance = slices.Clone(bad.Impedance)
	rng := seeded(99)
	for k := range bad.Impedance {
		bad.Impedance[k] *= complex(1+0.3*rng.NormFloat64(), 0.3*rng.NormFloat64())
	}
	h[6].Spectrum = &bad
	after := Cell(h)
	if after.Arcs != before.Arcs {
		t.Fatalf("arcs changed from %d to %d", before.Arcs, after.Arcs)
	}
	for i := range h {
		if i == 6 {
			if v := after.Results[6].ChargeTransfer; v.Known() && v.Relative() < 0.02 {
				t.Errorf("the faulty spectrum claims %.1f %%", 100*v.Relative())
			}
			continue
		}
		a, b := before.Results[i].ChargeTransfer, after.Results[i].ChargeTransfer
		if d := math.Abs(math.Log(b.Estimate() / a.Estimate())); d > 2*b.Relative() {
			t.Errorf("spectrum %d moved by %.2f %%, its uncertainty is %.2f %%", i, 100*d, 100*b.Relative())
		}
	}
}

// A single wild point is found, named and left out.
func TestPickUpIsLeftOut(t *testing.T) {
	m := sweep{1e4, 0.01, 60, 0.001}.measured(cellVector(), seeded(14))
	clean := Spectrum(m)
	z := slices.Clone(m.Spectrum.Impedance)
	z[22] *= 1.08
	s := *m.Spectrum
	s.Impedance = z
	m.Spectrum = &s
	r := Spectrum(m)
	if len(r.Excluded) != 1 || r.Excluded[0].Index != 22 || r.Excluded[0].Reason == "" {
		t.Fatalf("excluded: %+v", r.Excluded)
	}
	if d := math.Abs(math.Log(r.ChargeTransfer.Estimate() / clean.ChargeTransfer.Estimate())); d > clean.ChargeTransfer.Relative() {
		t.Errorf("charge transfer moved by %.2f %%", 100*d)
	}
}

// Of a spectrum without an arc no charge-transfer resistance is reported.
func TestNoArcIsNotResolved(t *testing.T) {
	p := Parameters{LeadCoefficient: 3e-7, LeadExponent: 0.9, Ohmic: 0.0004, ChargeTransfer: 1e-12, ChargeTransferTimeConstant: 1e-12, ChargeTransferExponent: 1, Diffusion: 2e-5, DiffusionExponent: 0.45}
	for seed := range uint64(20) {
		r := Spectrum(sweep{1e3, 0.01, 45, 0.002}.measured(p, seeded(seed)))
		if r.ChargeTransfer.Known() {
			t.Errorf("seed %d: reports %v ± %v Ω of an arc that is not there", seed, r.ChargeTransfer.Estimate(), r.ChargeTransfer.StandardUncertainty())
		}
		if r.Unresolved[ChargeTransfer] == "" {
			t.Errorf("seed %d: no reason given", seed)
		}
		nearReal(t, "ohmic resistance", r.Parameters.Ohmic, p.Ohmic, 0.05)
	}
}

// Cells of one spectrum each are fitted with one circuit and shared exponents.
func TestGroupSharesOneCircuit(t *testing.T) {
	var cells [][]Measured
	rng := seeded(15)
	for i := range 20 {
		p := aged(cellVector(), 0.2*rng.Float64())
		cells = append(cells, []Measured{sweep{1e4, 0.01, 40, 0.003}.measured(p, rng)})
		_ = i
	}
	alone := Spectrum(cells[0][0])
	h := Group(cells)
	for i, c := range h {
		r := c.Results[0]
		if c.Arcs != h[0].Arcs || r.Parameters.ChargeTransferExponent != h[0].Results[0].Parameters.ChargeTransferExponent {
			t.Fatalf("cell %d has a circuit of its own", i)
		}
	}
	if g := h[0].Results[0].ChargeTransfer; g.Relative() > 0.7*alone.ChargeTransfer.Relative() {
		t.Errorf("sharing exponents over 20 cells leaves %.2f %% where one cell alone has %.2f %%", 100*g.Relative(), 100*alone.ChargeTransfer.Relative())
	}
}

// Odd input is a result with a reason, never a panic.
func TestOddSpectraHaveReasons(t *testing.T) {
	whole := sweep{1e4, 0.01, 30, 0.002}.measured(cellVector(), seeded(16))
	few := whole
	s := *whole.Spectrum
	s.Frequency, s.Impedance = s.Frequency[:4], s.Impedance[:4]
	few.Spectrum = &s
	flat := whole
	f := *whole.Spectrum
	f.Impedance = slices.Repeat([]complex128{complex(0.02, 0)}, len(f.Impedance))
	flat.Spectrum = &f
	negative := whole
	n := *whole.Spectrum
	n.Impedance = slices.Repeat([]complex128{complex(-1, -1)}, len(n.Impedance))
	negative.Spectrum = &n
	h := Cell([]Measured{whole, few, flat, negative})
	if !h.Results[0].ChargeTransfer.Known() {
		t.Errorf("the good spectrum is not resolved: %v", h.Results[0].Unresolved)
	}
	for i, r := range h.Results[1:] {
		if r.ChargeTransfer.Known() || r.Unresolved[ChargeTransfer] == "" {
			t.Errorf("odd spectrum %d: %v, reason %q", i+1, r.ChargeTransfer, r.Unresolved[ChargeTransfer])
		}
	}
	if got := Cell(nil); len(got.Results) != 0 {
		t.Errorf("no spectra: %d results", len(got.Results))
	}
	for _, m := range []Measured{few, flat, negative} {
		if r := Spectrum(m); r.ChargeTransfer.Known() {
			t.Errorf("odd spectrum alone reports %v", r.ChargeTransfer)
		}
	}
}

// A sweep that breaks off before the slow arc's top shows only the faster arc: no resistance of an arc is reported
// from it, wherever it breaks off, and the ohmic resistance still is.
func TestBrokenOffSweepHasNoArcs(t *testing.T) {
	for _, end := range []float64{60, 100, 160, 250, 400, 700, 1000} {
		h := noisyHistory(17, 8)
		rng := seeded(18)
		p := aged(cellVector(), 1)
		h[7] = sweep{1e4, end, 30, 0.002}.measured(p, rng)
		r := Cell(h).Results[7]
		if r.ChargeTransfer.Known() || r.Polarisation.Known() || r.Unresolved[ChargeTransfer] == "" {
			t.Errorf("ended at %g Hz: charge transfer %v Ω, truth %v Ω", end, r.ChargeTransfer.Estimate(), p.ChargeTransfer)
		}
		if lone := Spectrum(h[7]); lone.ChargeTransfer.Known() || lone.Polarisation.Known() {
			t.Errorf("ended at %g Hz, alone: charge transfer %v Ω, truth %v Ω", end, lone.ChargeTransfer.Estimate(), p.ChargeTransfer)
		}
		if !r.Ohmic.Known() {
			t.Errorf("ended at %g Hz: no ohmic resistance: %v", end, r.Unresolved[Ohmic])
		}
	}
}

// The condition of uncorrelated parameters is 1, of two that correlate by ρ it is (1+ρ)/(1−ρ).
func TestCondition(t *testing.T) {
	if got := condition([][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}); math.Abs(got-1) > 1e-12 {
		t.Errorf("uncorrelated: %g", got)
	}
	if got := condition([][]float64{{1, 0.8}, {0.8, 1}}); math.Abs(got-9) > 1e-9 {
		t.Errorf("correlated by 0.8: %g", got)
	}
	if got := condition([][]float64{{1, 1}, {1, 1}}); !math.IsNaN(got) && got < 1e12 {
		t.Errorf("singular: %g", got)
	}
}
