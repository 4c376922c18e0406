package fit

import (
	"math"
	"math/cmplx"
	"math/rand/v2"

	"ohmledger/fit/spectrum"
)

// sweep is a synthetic measurement: n points evenly spaced in log f, noise a fraction of |Z| per part.
type sweep struct {
	high, low float64 // Hz
	n         int
	noise     float64
}

var fullSweep = sweep{1e4, 0.01, 60, 0}

func (s sweep) of(p Parameters, rng *rand.Rand) *spectrum.Spectrum {
	out := &spectrum.Spectrum{File: "synthetic"}
	for i := range s.n {
		f := s.high * math.Pow(s.low/s.high, float64(i)/float64(s.n-1))
		z := p.Impedance(f)
		if s.noise > 0 {
			z += scaled(s.noise*cmplx.Abs(z), complex(rng.NormFloat64(), rng.NormFloat64()))
		}
		out.Frequency = append(out.Frequency, f)
		out.Impedance = append(out.Impedance, z)
	}
	return out
}

func (s sweep) measured(p Parameters, rng *rand.Rand) Measured {
	return Measured{Spectrum: s.of(p, rng), TemperatureC: 25, RelativeNoise: math.Max(s.noise, 1e-9)}
}

// seeded gives repeatable noise.
func seeded(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 20260601)) }

// singleArcVector is a cell whose film arc does not show.
func singleArcVector() Parameters {
	p := cellVector()
	p.Film, p.FilmTimeConstant, p.FilmExponent = 0, 0, 0
	return p
}

// aged is the cell after a share of its life: charge transfer grows most, the film arc and the ohmic part less.
func aged(p Parameters, life float64) Parameters {
	p.Ohmic *= 1 + 0.3*life
	p.Film *= 1 + 0.8*life
	p.FilmTimeConstant *= 1 + 0.8*life
	p.ChargeTransfer *= 1 + 1.5*life
	p.ChargeTransferTimeConstant *= 1 + 1.5*life
	p.Diffusion *= 1 + 0.5*life
	return p
}
