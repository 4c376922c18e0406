package main

import (
	"bytes"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"strings"

	"ohmledger/fit"
	"ohmledger/fit/spectrum"
)

// The true activation energies in kJ/mol. The job declares 14 ± 2 and 54 ± 4: near, as declared ones are, and not equal.
const (
	trueOhmicEnergy    = 13.
	trueTransferEnergy = 52.
)

const molarGas = 8.31446261815324e-3 // kJ/(mol K), exact (CODATA 2022)

// What the bench adds to the truth. The job states 0.2 % and 20 µΩ for the instrument and 0.3 °C for the temperature.
const (
	benchScale     = 1.0012 // the instrument reads high by so much, always
	benchNoise     = 0.001  // of |Z|, in each part of each point, standard deviation
	benchNoiseOhm  = 4e-6
	sensorNoise    = 0.25 // °C, standard deviation
	scatterC       = 0.4  // °C, between the cells of one day, standard deviation
	twoWireOhm     = 0.0124
	twoWireHenry   = 1.5e-7
	looseNoise     = 0.12 // of |Z|, where a clip is loose
	pointsPerDecad = 8
	highestHz      = 1e4
	lowestHz       = 0.01
)

// sweep is one measured spectrum with what the bench wrote down about it.
type sweep struct {
	course   *course
	visit    int
	incident incident
	celsius  float64 // as the sensor read it
	spectrum *spectrum.Spectrum
	truth    truth
}

// truth is what a perfect bench would have found, at 25 °C.
type truth struct{ ohmic, transfer, ohmicGrowth, transferGrowth float64 }

// sweeps are all of the demonstration. Each has random numbers of its own, so that one more changes no other.
func sweeps() (all []sweep) {
	for c := range courses {
		for v := range visits {
			if !slices.Contains(courses[c].absent, v) {
				all = append(all, courses[c].measured(v, rand.New(rand.NewPCG(uint64(c+1), uint64(v+1)))))
			}
		}
	}
	return all
}

// measured is the cell on the bench at a visit.
func (c *course) measured(v int, random *rand.Rand) sweep {
	s := sweep{course: c, visit: v, incident: c.incidents[v]}
	celsius := visits[v].celsius + scatterC*random.NormFloat64()
	s.celsius = math.Round(10*(celsius+sensorNoise*random.NormFloat64())) / 10
	cell := c.aged(v)
	s.truth = truth{cell.Ohmic, cell.ChargeTransfer, cell.Ohmic / c.fresh.Ohmic, cell.ChargeTransfer / c.fresh.ChargeTransfer}
	s.spectrum = s.incident.read(warmed(cell, celsius), random)
	s.spectrum.File = fmt.Sprintf("spectra/%s_%s.csv", c.name, visits[v].day)
	return s
}

// aged is the cell at a visit, at 25 °C.
func (c *course) aged(v int) fit.Parameters {
	life := math.Pow((visits[v].cycles-visits[0].cycles)/(visits[lastVisit].cycles-visits[0].cycles), c.shape)
	ohmic, transfer := 1+(c.ohmicGrowth-1)*life, 1+(c.transferGrowth-1)*life
	p := scaled(c.fresh, ohmic, transfer)
	p.Diffusion *= 1 + 0.25*life
	return p
}

// warmed brings a cell from 25 °C to another temperature by Arrhenius' law.
func warmed(p fit.Parameters, celsius float64) fit.Parameters {
	x := (1/(celsius+273.15) - 1/298.15) / molarGas
	return scaled(p, math.Exp(trueOhmicEnergy*x), math.Exp(trueTransferEnergy*x))
}

// scaled multiplies resistances. Capacitances stay, so that time constants go with their resistances.
func scaled(p fit.Parameters, ohmic, transfer float64) fit.Parameters {
	p.Ohmic *= ohmic
	p.Film *= transfer
	p.FilmTimeConstant *= transfer
	p.ChargeTransfer *= transfer
	p.ChargeTransferTimeConstant *= transfer
	return p
}

// read is the sweep of a cell.
func (in incident) read(cell fit.Parameters, random *rand.Rand) *spectrum.Spectrum {
	s := &spectrum.Spectrum{}
	noise := benchNoise
	if in.loose {
		noise = looseNoise
	}
	for step := 0; ; step++ {
		f := highestHz * math.Pow(10, -float64(step)/pointsPerDecad)
		if f < 0.999*max(lowestHz, in.lowestHz) {
			return s
		}
		z := cell.Impedance(f)
		if in.twoWire {
			z += complex(twoWireOhm, 2*math.Pi*f*twoWireHenry)
		}
		size := complex(noise*cmplx.Abs(z)+benchNoiseOhm, 0)
		z = benchScale*z + size*complex(random.NormFloat64(), random.NormFloat64())
		s.Frequency, s.Impedance = append(s.Frequency, f), append(s.Impedance, z)
	}
}

// dialects is the table of the forms in which the demonstration's files come.
var dialects = map[string]func(s *spectrum.Spectrum) []byte{
	"": func(s *spectrum.Spectrum) []byte {
		return written(s, "frequency_hz,z_real_ohm,z_imag_ohm\n", ",", func(f float64, z complex128) []string {
			return []string{fmt.Sprintf("%.6g", f), fmt.Sprintf("%.8f", real(z)), fmt.Sprintf("%.8f", imag(z))}
		})
	},
	"semicolon": func(s *spectrum.Spectrum) []byte {
		text := written(s, "Frequenz (Hz);Re(Z) (mΩ);-Im(Z) (mΩ)\n", ";", func(f float64, z complex128) []string {
			return []string{fmt.Sprintf("%.6g", f), fmt.Sprintf("%.5f", 1e3*real(z)), fmt.Sprintf("%.5f", -1e3*imag(z))}
		})
		return bytes.ReplaceAll(bytes.ReplaceAll(text, []byte("."), []byte(",")), []byte("\n"), []byte("\r\n"))
	},
	"polar": func(s *spectrum.Spectrum) []byte {
		return written(s, "Frequency/Hz\t|Z|/mohm\tPhase/deg\n", "\t", func(f float64, z complex128) []string {
			return []string{fmt.Sprintf("%.6g", f), fmt.Sprintf("%.5f", 1e3*cmplx.Abs(z)), fmt.Sprintf("%.4f", cmplx.Phase(z)*180/math.Pi)}
		})
	},
}

func written(s *spectrum.Spectrum, header, separator string, row func(f float64, z complex128) []string) []byte {
	var b bytes.Buffer
	b.WriteString(header)
	for i, f := range s.Frequency {
		b.WriteString(strings.Join(row(f, s.Impedance[i]), separator) + "\n")
	}
	return b.Bytes()
}
