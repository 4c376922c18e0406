package fit

import (
	"math"
	"testing"
)

// failing is a cell on its way to hard failure, as cylindrical cells go: charge transfer grows more than thirtyfold,
// the film arc sixfold, the ohmic resistance nearly doubles, and the slow arc leaves the band at its low end.
func failing(life float64) Parameters {
	p := cellVector()
	p.Ohmic = 0.0107 * math.Pow(1.87, life*life)
	p.Film, p.FilmTimeConstant = 0.004*math.Pow(6.2, life), 3e-4*math.Pow(4, life)
	p.ChargeTransfer, p.ChargeTransferTimeConstant = 0.0014*math.Pow(33, life*life), 0.012*math.Pow(20, life)
	p.Diffusion *= math.Pow(4, life)
	return p
}

// A run to failure is followed to its end, arcs never changing places, growth within an eighth of the truth even
// where the exponents drift.
func TestRunToFailure(t *testing.T) {
	const n = 60
	for name, departs := range map[string]func(p *Parameters, life float64){
		"as the circuit": func(*Parameters, float64) {},
		"drifting exponents": func(p *Parameters, life float64) {
			p.ChargeTransferExponent, p.FilmExponent = 0.9-0.12*life, 0.78-0.08*life
		},
	} {
		rng := seeded(7)
		at := func(i int) Parameters {
			life := float64(i) / (n - 1)
			p := failing(life)
			departs(&p, life)
			return p
		}
		var history []Measured
		for i := range n {
			m := sweep{1e4, 0.02, 50, 0.001}.measured(at(i), rng)
			m.RelativeNoise = 0.002
			history = append(history, m)
		}
		h := Cell(history)
		if h.Arcs != 2 {
			t.Fatalf("%s: %s", name, h.Choice)
		}
		for i, r := range h.Results {
			if !r.ChargeTransfer.Known() || r.Parameters.FilmTimeConstant > r.Parameters.ChargeTransferTimeConstant {
				t.Fatalf("%s, spectrum %d: %v, %+v", name, i, r.Unresolved, r.Parameters)
			}
			growth := r.ChargeTransfer.Estimate() / h.Results[0].ChargeTransfer.Estimate()
			if f := growth * at(0).ChargeTransfer / at(i).ChargeTransfer; f < 0.88 || f > 1.13 {
				t.Errorf("%s, spectrum %d: growth %.2f is %.3f of the truth", name, i, growth, f)
			}
			if i > 0 {
				if step := r.Polarisation.Estimate() / h.Results[i-1].Polarisation.Estimate(); step > 1.2 || step < 1/1.2 {
					t.Errorf("%s, spectrum %d: the arcs step by a factor of %.2f", name, i, step)
				}
			}
		}
	}
}
