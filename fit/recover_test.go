package fit

import (
	"math"
	"testing"
)

// From data without noise the fit gives the circuit back to six digits.
func TestNoiseFreeSpectraAreRecovered(t *testing.T) {
	small := cellVector()
	small.Film = 0.0015
	flat := cellVector()
	flat.ChargeTransferExponent, flat.DiffusionExponent = 0.7, 0.6
	large := cellVector()
	large.Ohmic, large.Film, large.ChargeTransfer, large.Diffusion, large.LeadCoefficient = 0.0005, 0.0001, 0.0004, 0.00003, 3e-8
	for name, p := range map[string]Parameters{"18650": cellVector(), "small film": small, "flat": flat, "large cell": large, "one arc": singleArcVector()} {
		r := Spectrum(fullSweep.measured(p, nil))
		wantArcs := 2
		if p.Film == 0 {
			wantArcs = 1
		}
		if r.Status != Converged || r.Arcs != wantArcs {
			t.Errorf("%s: %v with %d arcs, rms %g, want %d arcs", name, r.Status, r.Arcs, r.RMSResidual, wantArcs)
			continue
		}
		for what, pair := range map[string][2]float64{
			"ohmic": {r.Parameters.Ohmic, p.Ohmic}, "film": {r.Parameters.Film, p.Film},
			"charge transfer": {r.Parameters.ChargeTransfer, p.ChargeTransfer},
			"time constant":   {r.Parameters.ChargeTransferTimeConstant, p.ChargeTransferTimeConstant},
			"exponent":        {r.Parameters.ChargeTransferExponent, p.ChargeTransferExponent},
			"diffusion":       {r.Parameters.Diffusion, p.Diffusion}, "tail": {r.Parameters.DiffusionExponent, p.DiffusionExponent},
			"lead": {r.Parameters.LeadCoefficient, p.LeadCoefficient},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-6*math.Abs(pair[1]) {
				t.Errorf("%s: %s is %.9g, want %.9g", name, what, pair[0], pair[1])
			}
		}
	}
}

func BenchmarkSpectrum(b *testing.B) {
	s := fullSweep
	s.noise = 0.002
	m := s.measured(cellVector(), seeded(1))
	b.ReportAllocs()
	for b.Loop() {
		Spectrum(m)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "spectra/s")
}

func BenchmarkHistory50(b *testing.B) {
	s := fullSweep
	s.noise = 0.002
	rng := seeded(2)
	var h []Measured
	for i := range 50 {
		h = append(h, s.measured(aged(cellVector(), float64(i)/49), rng))
	}
	b.ReportAllocs()
	for b.Loop() {
		Cell(h)
	}
	b.ReportMetric(50*float64(b.N)/b.Elapsed().Seconds(), "spectra/s")
}

// Three points a decade show the valley of a closed arc; a sweep that ends on the arc has none.
func TestValleyOfSparseSweep(t *testing.T) {
	for name, c := range map[string]struct {
		low    float64
		n      int
		closed bool
	}{"to 10 mHz": {0.01, 15, true}, "ends on the arc": {30, 10, false}} {
		s := sweep{1e3, c.low, c.n, 0.001}
		if got := prepare(s.measured(singleArcVector(), seeded(3))).outline.closed; got != c.closed {
			t.Errorf("%s: arc closed is %v", name, got)
		}
	}
}
