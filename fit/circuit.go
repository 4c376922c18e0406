package fit

import (
	"math"
	"math/cmplx"
)

// Parameters of the one circuit:
//
//	Z(jω) = Q_L(jω)^β + R_Ω + Z_f + Z_c
//	Z_f   = R_f / (1 + (jωτ_f)^α_f)
//	Z_c   = (R_ct + Z_d) / (1 + (jωτ_c)^α_c (R_ct + Z_d)/R_ct),  Z_d = s (jω)^−γ
//
// Each arc is a resistance in parallel with a constant-phase element of coefficient τ^α/R. Film is zero
// where there is one arc only; Diffusion and LeadCoefficient are zero where the spectrum shows neither.
type Parameters struct {
	LeadCoefficient float64 // Q_L, ohm s^β
	LeadExponent    float64 // β, 1: ideal inductor
	Ohmic           float64 // R_Ω, ohm

	Film, FilmTimeConstant, FilmExponent                               float64 // R_f ohm, τ_f second, α_f
	ChargeTransfer, ChargeTransferTimeConstant, ChargeTransferExponent float64 // R_ct ohm, τ_c second, α_c

	Diffusion         float64 // s, ohm s^−γ
	DiffusionExponent float64 // γ, ½: Warburg
}

// Impedance of the circuit in ohm at a frequency in hertz.
func (p Parameters) Impedance(frequencyHz float64) complex128 {
	omega := 2 * math.Pi * frequencyHz
	z := complex(p.Ohmic, 0)
	if p.LeadCoefficient > 0 {
		z += complex(p.LeadCoefficient, 0) * power(omega, p.LeadExponent)
	}
	if p.Film > 0 {
		z += complex(p.Film, 0) / (1 + power(omega*p.FilmTimeConstant, p.FilmExponent))
	}
	if p.ChargeTransfer > 0 {
		branch := complex(p.ChargeTransfer, 0)
		if p.Diffusion > 0 {
			branch += complex(p.Diffusion, 0) * power(omega, -p.DiffusionExponent)
		}
		z += branch / (1 + power(omega*p.ChargeTransferTimeConstant, p.ChargeTransferExponent)*branch/complex(p.ChargeTransfer, 0))
	}
	return z
}

// power is (jx)^a for x > 0.
func power(x, a float64) complex128 { return cmplx.Rect(math.Pow(x, a), a*math.Pi/2) }
