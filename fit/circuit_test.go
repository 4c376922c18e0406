package fit

import (
	"math"
	"math/cmplx"
	"testing"
)

// near fails unless got is want to the relative tolerance, by the larger of the two sizes.
func near(t *testing.T, what string, got, want complex128, tolerance float64) {
	t.Helper()
	if !(cmplx.Abs(got-want) <= tolerance*cmplx.Abs(want)) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func nearReal(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// The dummy cell of ASTM G106-89(2015), clause 6, as a hardware manual quotes it: 10 Ω in series with
// 100 Ω ∥ 100 µF (from memory; the clause itself was not seen). Figures computed to sixty digits.
func TestDummyCell(t *testing.T) {
	p := Parameters{Ohmic: 10, ChargeTransfer: 100, ChargeTransferTimeConstant: 0.01, ChargeTransferExponent: 1}
	for f, want := range map[float64]complex128{
		0.1:   complex(109.996052314, -0.628293726676),
		1:     complex(109.606768241, -6.25847782706),
		10:    complex(81.6956800325, -45.0477243368),
		100:   complex(12.4704523032, -15.5223096135),
		1000:  complex(10.0253238813, -1.59114638883),
		10000: complex(10.0002533023, -0.159154539949),
	} {
		near(t, "dummy cell", p.Impedance(f), want, 1e-11)
	}
	peak := p.Impedance(52.7857230)
	nearReal(t, "largest phase", cmplx.Phase(peak)*180/math.Pi, -56.4426902, 1e-8)
	nearReal(t, "size there", cmplx.Abs(peak), 33.1662479, 1e-8)
}

// The fit of the dummy cell gives 10 Ω, 100 Ω and 100 µF back.
func TestDummyCellIsFitted(t *testing.T) {
	p := Parameters{Ohmic: 10, ChargeTransfer: 100, ChargeTransferTimeConstant: 0.01, ChargeTransferExponent: 1}
	r := Spectrum(sweep{1e4, 0.1, 50, 0}.measured(p, nil))
	nearReal(t, "ohmic", r.Parameters.Ohmic, 10, 1e-4)
	nearReal(t, "charge transfer", r.Parameters.ChargeTransfer, 100, 1e-4)
	nearReal(t, "capacitance", r.Parameters.ChargeTransferTimeConstant/r.Parameters.ChargeTransfer, 1e-4, 1e-4)
}

// A depressed arc at its peak: −Im = ½ tan(απ/4) for R = τ = 1 (closed form), and its centre lies below
// the real axis by ½ cot(απ/2) with radius 1/(2 sin(απ/2)).
func TestDepressedArc(t *testing.T) {
	for alpha, want := range map[float64]float64{0.9: 0.427040342732, 0.8: 0.363271264003, 0.7: 0.306400394070, 0.6: 0.254762724747, 0.5: 0.207106781187} {
		p := Parameters{ChargeTransfer: 1, ChargeTransferTimeConstant: 1, ChargeTransferExponent: alpha}
		z := p.Impedance(1 / (2 * math.Pi))
		near(t, "peak", z, complex(0.5, -want), 1e-11)
		centre := complex(0.5, 0.5/math.Tan(alpha*math.Pi/2))
		for f := 1e-3; f < 1e3; f *= 3 {
			nearReal(t, "radius", cmplx.Abs(p.Impedance(f)-centre), 1/(2*math.Sin(alpha*math.Pi/2)), 1e-9)
		}
	}
}

// Area rule, a consequence of the Kramers–Kronig relations: (2/π)∫ −Im Z d ln ω = R_dc − R_∞.
func TestAreaRule(t *testing.T) {
	p := Parameters{Ohmic: 3, Film: 2, FilmTimeConstant: 1e-3, FilmExponent: 0.6, ChargeTransfer: 5, ChargeTransferTimeConstant: 1, ChargeTransferExponent: 0.8}
	var area float64
	const step = 0.05
	for l := -60.0; l < 60; l += step {
		area -= imag(p.Impedance(math.Exp(l)/(2*math.Pi))) * step
	}
	nearReal(t, "area", 2/math.Pi*area, 7, 1e-9)
}

// The full cell vector with an ideal inductor and Warburg diffusion; computed to sixty digits.
// R0 20 mΩ, 0.2 µH, CPE(2, 0.8) ∥ (15 mΩ + 0.0015(1−j)/√ω).
func TestFullCell(t *testing.T) {
	const rct, q, alpha, sigma = 0.015, 2.0, 0.8, 0.0015
	p := Parameters{LeadCoefficient: 2e-7, LeadExponent: 1, Ohmic: 0.020,
		ChargeTransfer: rct, ChargeTransferTimeConstant: math.Pow(q*rct, 1/alpha), ChargeTransferExponent: alpha,
		Diffusion: sigma * math.Sqrt2, DiffusionExponent: 0.5}
	for f, want := range map[float64]complex128{
		0.01:  complex(0.0409045571559, -0.00605075348342),
		1:     complex(0.0346134653283, -0.00234971347284),
		10:    complex(0.0285643995787, -0.00547351696394),
		100:   complex(0.0212496888470, -0.00224993169006),
		1000:  complex(0.0201523050340, 0.000829937031481),
		10000: complex(0.0200226903170, 0.0124976120983),
	} {
		near(t, "full cell", p.Impedance(f), want, 1e-11)
	}
}

// Warburg: Re = −Im = σ/√ω, phase −45°, |Z| = σ√(2/ω). A constant-phase element has phase −90°α throughout.
func TestWarburg(t *testing.T) {
	const sigma = 0.0015
	p := Parameters{ChargeTransfer: 1e-12, ChargeTransferTimeConstant: 1e-30, ChargeTransferExponent: 1, Diffusion: sigma * math.Sqrt2, DiffusionExponent: 0.5}
	for _, f := range []float64{0.01, 1, 100} {
		w := 2 * math.Pi * f
		near(t, "Warburg", p.Impedance(f), complex(sigma/math.Sqrt(w), -sigma/math.Sqrt(w)), 1e-6)
	}
	for _, a := range []float64{0.3, 0.5, 0.8} {
		p.Diffusion, p.DiffusionExponent = 1, a
		nearReal(t, "phase", cmplx.Phase(p.Impedance(1))*180/math.Pi, -90*a, 1e-6)
	}
}

// Randles with Warburg (Bard and Faulkner, Electrochemical Methods, ch. 10, from memory): Re + Im tends to
// R0 + Rct − 2σ²C, not to R0 + Rct, so that an intercept read off the tail is not the sum of the resistances.
func TestIntercept(t *testing.T) {
	p := Parameters{Ohmic: 10, ChargeTransfer: 100, ChargeTransferTimeConstant: 100 * 20e-6, ChargeTransferExponent: 1, Diffusion: 50 * math.Sqrt2, DiffusionExponent: 0.5}
	z := p.Impedance(1e-4 / (2 * math.Pi))
	nearReal(t, "intercept", real(z)+imag(z), 109.895982, 1e-8)
}

// The curve of R0 + L + R ∥ C leaves the real axis at R0 + L/(RC), not at R0 (exact).
func TestCrossing(t *testing.T) {
	p := Parameters{LeadCoefficient: 1e-7, LeadExponent: 1, Ohmic: 0.020, ChargeTransfer: 0.010, ChargeTransferTimeConstant: 0.010, ChargeTransferExponent: 1}
	z := p.Impedance(503.040412)
	nearReal(t, "real part", real(z), 0.020010, 1e-8)
	if math.Abs(imag(z)) > 1e-10 {
		t.Errorf("imaginary part at the crossing is %g Ω, want none", imag(z))
	}
}
