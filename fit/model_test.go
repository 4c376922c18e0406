package fit

import (
	"math"
	"math/cmplx"
	"testing"
)

var whole = structure{lead: true, film: true, diffusion: true}

// cellVector is a full cell with every element, plausible for an 18650.
func cellVector() Parameters {
	return Parameters{LeadCoefficient: 1.2e-6, LeadExponent: 0.86, Ohmic: 0.020,
		Film: 0.004, FilmTimeConstant: 4e-4, FilmExponent: 0.82,
		ChargeTransfer: 0.015, ChargeTransferTimeConstant: 0.02, ChargeTransferExponent: 0.8,
		Diffusion: 0.0012, DiffusionExponent: 0.47}
}

// The fast evaluation inside the fit and the plain formula are the same circuit.
func TestEvaluationEqualsTheFormula(t *testing.T) {
	p := cellVector()
	x := coordinates(p)
	e := whole.evaluator(&x)
	for f := 1e-3; f < 1e5; f *= 3.1 {
		got, want := e.impedance(math.Log(2*math.Pi*f), nil), p.Impedance(f)
		if cmplx.Abs(got-want) > 1e-12*cmplx.Abs(want) {
			t.Errorf("at %g Hz: %v, want %v", f, got, want)
		}
	}
}

// Each derivative equals the central difference.
func TestDerivativesEqualDifferences(t *testing.T) {
	x := coordinates(cellVector())
	for f := 1e-3; f < 1e5; f *= 3.1 {
		l := math.Log(2 * math.Pi * f)
		var d [slotCount]complex128
		e := whole.evaluator(&x)
		z := e.impedance(l, &d)
		for _, slot := range whole.slots() {
			const h = 1e-5
			up, down := x, x
			up[slot] += h
			down[slot] -= h
			eu, ed := whole.evaluator(&up), whole.evaluator(&down)
			want := (eu.impedance(l, nil) - ed.impedance(l, nil)) / (2 * h)
			if cmplx.Abs(d[slot]-want) > 1e-8*cmplx.Abs(z) {
				t.Errorf("slot %d at %g Hz: %v, difference %v", slot, f, d[slot], want)
			}
		}
	}
}
