package fit

import (
	"math"
	"slices"
	"testing"
)

// Leads laid otherwise for one measurement move neither its ohmic resistance nor its arcs, and it says so.
func TestLeadsOfItsOwn(t *testing.T) {
	for _, extra := range []float64{5e-7, 1e-6} {
		rng := seeded(51)
		p := cellVector()
		s := sweep{1e4, 0.01, 60, 0.001}
		var history []Measured
		for range 8 {
			history = append(history, s.measured(p, rng))
		}
		last := history[7].Spectrum
		for k, f := range last.Frequency {
			last.Impedance[k] += complex(0, 2*math.Pi*f*extra)
		}
		h := Cell(history)
		r := h.Results[7]
		if !slices.ContainsFunc(r.Doubts, func(d Doubt) bool { return d.Code == "leads-of-its-own" }) {
			t.Errorf("%g H more: nothing is said (%v)", extra, r.Doubts)
		}
		for _, e := range []Element{Ohmic, ChargeTransfer, Polarisation} {
			g := math.Log(r.Resistance(e).Estimate() / h.Results[0].Resistance(e).Estimate())
			u := math.Sqrt(h.LogCovariance(0, 0, e) + h.LogCovariance(7, 7, e) - 2*h.LogCovariance(0, 7, e) + square(h.LogModelU(0, 7, e)))
			if math.Abs(g) > 2*u || u > 0.05 {
				t.Errorf("%g H more: %s grows by %.4f ± %.4f", extra, e, g, u)
			}
		}
	}
}

// A slow arc whose top lies below the band is no diffusion, and the faster arc does not take its place.
func TestSlowArcBelowTheBand(t *testing.T) {
	for _, c := range []struct{ low, exponent, tau float64 }{{1, 0.88, 5}, {0.1, 0.88, 50}, {0.1, 0.75, 5}, {0.1, 0.8, 5}} {
		low := c.low
		rng := seeded(52)
		s := sweep{1e4, low, 45, 0.001}
		var history []Measured
		for i := range 3 {
			p := Parameters{LeadCoefficient: 1e-7, LeadExponent: 1, Ohmic: 0.02, Film: 0.005, FilmTimeConstant: 1e-3, FilmExponent: 0.85,
				ChargeTransfer: 0.05 * (1 + 0.7*float64(i)), ChargeTransferTimeConstant: c.tau * (1 + 0.7*float64(i)), ChargeTransferExponent: c.exponent,
				Diffusion: 0.001, DiffusionExponent: 0.5}
			history = append(history, s.measured(p, rng))
		}
		for i, r := range Cell(history).Results {
			if v := r.ChargeTransfer; v.Known() && v.Estimate() < 0.02 {
				t.Errorf("to %g Hz, spectrum %d: the fast arc of 5 mΩ is called charge transfer, %.4g Ω", low, i, v.Estimate())
			}
		}
	}
}
