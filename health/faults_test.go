package health

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"

	"ohmledger/fit"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// planting is a sound measurement that a fault is put into.
type planting struct {
	cell     fit.Parameters
	row      job.Measurement
	job      *job.Job
	spectrum *spectrum.Spectrum
	random   *rand.Rand
	seed     uint64
}

// sound is a measurement without fault, noise 0.2 %, of a cell that differs a little from seed to seed.
func sound(seed uint64) *planting {
	random := rand.New(rand.NewPCG(seed, 11))
	vary := func(x float64) float64 { return x * math.Exp(0.2*random.NormFloat64()) }
	c := fresh
	c.Ohmic, c.ChargeTransfer, c.Diffusion = vary(c.Ohmic), vary(c.ChargeTransfer), vary(c.Diffusion)
	c.ChargeTransferTimeConstant, c.LeadCoefficient = vary(c.ChargeTransferTimeConstant), vary(c.LeadCoefficient)
	c.ChargeTransferExponent += 0.05 * random.Float64()
	return &planting{c, row("A", 0, 25), syntheticJob(), sweep(c, 0.002, seed), random, seed}
}

// remeasured is the planting with another cell.
func (p *planting) remeasured(edit func(c *fit.Parameters)) {
	edit(&p.cell)
	p.spectrum = sweep(p.cell, 0.002, p.random.Uint64())
}

// each changes every point.
func (p *planting) each(edit func(i int, hz float64, z complex128) complex128) {
	for i, hz := range p.spectrum.Frequency {
		p.spectrum.Impedance[i] = edit(i, hz, p.spectrum.Impedance[i])
	}
}

// keep leaves out the other points.
func (p *planting) keep(kept func(i int, hz float64) bool) {
	s, n := p.spectrum, 0
	for i, hz := range s.Frequency {
		if kept(i, hz) {
			s.Frequency[n], s.Impedance[n], s.Line[n] = hz, s.Impedance[i], s.Line[i]
			n++
		}
	}
	s.Frequency, s.Impedance, s.Line = s.Frequency[:n], s.Impedance[:n], s.Line[:n]
}

// inUnit writes the frequencies in another unit.
func (p *planting) inUnit(times float64) {
	for i := range p.spectrum.Frequency {
		p.spectrum.Frequency[i] *= times
	}
}

// append repeats the first points, each beside the one that it repeats as reading sorts them.
func (p *planting) append(points int, again func(hz float64, z complex128) complex128) {
	s := p.spectrum
	for k := range points {
		hz := s.Frequency[2*k]
		s.Frequency = slices.Insert(s.Frequency, 2*k, hz)
		s.Impedance = slices.Insert(s.Impedance, 2*k+1, again(hz, s.Impedance[2*k]))
		s.Line = slices.Insert(s.Line, 2*k, 0)
	}
}

// swapped turns the first points, in per cent.
func swapped(p *planting, size float64) {
	n := int(pc(size)*float64(len(p.spectrum.Frequency)) + 0.5)
	p.each(func(i int, _ float64, z complex128) complex128 {
		if i < n {
			return -z
		}
		return z
	})
}

// jump moves a part of the sweep along the real axis and multiplies it.
func (p *planting) jump(fromHz, belowHz, ohm, times float64) {
	p.each(func(_ int, hz float64, z complex128) complex128 {
		if hz >= fromHz && hz < belowHz {
			return z*complex(times, 0) + complex(ohm, 0)
		}
		return z
	})
}

// at is the point nearest to a frequency.
func (p *planting) at(hz float64) (nearest int) {
	for i, f := range p.spectrum.Frequency {
		if math.Abs(math.Log(f/hz)) < math.Abs(math.Log(p.spectrum.Frequency[nearest]/hz)) {
			nearest = i
		}
	}
	return nearest
}

// off moves a point by a share of |Z| in some direction.
func (p *planting) off(i int, share float64) {
	z := p.spectrum.Impedance[i]
	p.spectrum.Impedance[i] += cmplx.Rect(share*cmplx.Abs(z), 2*math.Pi*p.random.Float64())
}

// elapsed is the share of the sweep's time that has passed when a point is done: three periods and a second each.
func elapsed(frequency []float64) (share []float64) {
	total := 0.0
	for _, f := range frequency {
		total += 3/f + 1
		share = append(share, total)
	}
	for i := range share {
		share[i] /= total
	}
	return share
}

// pickUp adds a tone of the mains as an analyser sees it that averages three periods a point.
func (p *planting) pickUp(mains, share float64) {
	for _, k := range []float64{1, 3} {
		tone := k * mains
		p.each(func(_ int, hz float64, z complex128) complex128 {
			x := math.Pi * 3 * (tone - hz) / hz
			gain := 1.0
			if x != 0 {
				gain = math.Abs(math.Sin(x) / x)
			}
			return z + cmplx.Rect(share/k*gain*cmplx.Abs(z), 2*math.Pi*p.random.Float64())
		})
	}
}

// fault is a way in which a measurement goes wrong, with the finding that tells of it.
type fault struct {
	name, unit, code string
	sizes            []float64
	// Up to clear nothing may be found; from bad on, which a technician would call bad, it always is. Where less is
	// worse, sizes fall.
	clear, bad float64
	fitted     bool // the finding needs the fit
	plant      func(p *planting, size float64)
}

func pc(x float64) float64 { return x / 100 }

// Faults of single measurements.
var faults = []fault{
	{"drift of |Z| during the sweep", "%", "drift-during-sweep", []float64{0.5, 1, 2, 3, 5, 7, 10, 20}, 1, 5, false, func(p *planting, size float64) {
		share := elapsed(p.spectrum.Frequency)
		p.each(func(i int, _ float64, z complex128) complex128 { return z * complex(1+pc(size)*share[i], 0) })
	}},
	{"gross drift", "%", "kramers-kronig-violated", []float64{20, 100, 300, 1000}, 20, 1000, false, func(p *planting, size float64) {
		share := elapsed(p.spectrum.Frequency)
		p.each(func(i int, _ float64, z complex128) complex128 { return z * complex(1+pc(size)*share[i], 0) })
	}},
	{"pick-up of 50 Hz", "% of |Z|", "mains-pick-up", []float64{0.1, 0.3, 1, 2, 3, 5, 10, 30}, 0.3, 5, false, func(p *planting, size float64) { p.pickUp(50, pc(size)) }},
	{"pick-up of 60 Hz", "% of |Z|", "mains-pick-up", []float64{0.1, 0.3, 1, 2, 3, 5, 10, 30}, 0.3, 5, false, func(p *planting, size float64) { p.pickUp(60, pc(size)) }},
	{"one point off", "% of |Z|", "points-off", []float64{0.1, 0.3, 1, 2, 3, 5, 10, 50}, 1, 5, false, func(p *planting, size float64) { p.off(p.at(4), pc(size)) }},
	{"last point off", "% of |Z|", "points-off", []float64{0.1, 1, 3, 5, 10, 20, 50}, 1, 20, false, func(p *planting, size float64) {
		p.off(len(p.spectrum.Frequency)-1, pc(size))
	}},
	{"noise", "% of |Z|", "noise-high", []float64{0.05, 0.2, 0.5, 0.7, 1, 1.4, 2, 3}, 0.7, 1.4, false, func(p *planting, size float64) {
		p.spectrum = sweep(p.cell, pc(size), p.random.Uint64())
	}},
	{"noise at 1 to 10 Hz", "% of |Z|", "noise-high", []float64{0.2, 1, 2, 3, 5, 7}, 1, 5, false, func(p *planting, size float64) {
		p.each(func(_ int, hz float64, z complex128) complex128 {
			if hz < 1 || hz > 10 {
				return z
			}
			return z + complex(pc(size)*cmplx.Abs(z), 0)*complex(p.random.NormFloat64(), p.random.NormFloat64())
		})
	}},
	{"noise beyond use", "% of |Z|", "kramers-kronig-violated", []float64{2, 5, 8, 12}, 2, 8, false, func(p *planting, size float64) {
		p.spectrum = sweep(p.cell, pc(size), p.random.Uint64())
	}},
	{"clip moves by this from 1 Hz down", "mΩ", "sweep-jumps-slightly", []float64{0, 0.1, 0.3, 0.8, 1.2}, 0.1, 1.2, false, func(p *planting, size float64) {
		p.jump(0, 1, size/1000, 1)
	}},
	{"clip moves by this from 1 Hz down", "mΩ", "sweep-jumps", []float64{0, 0.3, 1, 2, 3, 5, 30}, 0.3, 3, false, func(p *planting, size float64) {
		p.jump(0, 1, size/1000, 1)
	}},
	{"clip moves by this from 100 Hz down", "mΩ", "sweep-jumps", []float64{0, 0.3, 1, 2, 3, 5, 30}, 0.3, 3, false, func(p *planting, size float64) {
		p.jump(0, 100, size/1000, 1)
	}},
	{"clip moves by this from 5 kHz down", "mΩ", "sweep-jumps", []float64{0, 0.3, 3, 5, 30}, 0.3, 3, false, func(p *planting, size float64) {
		p.jump(0, 5100, size/1000, 1)
	}},
	{"range off between 0.4 and 50 Hz", "%", "sweep-jumps-slightly", []float64{0, 0.5, 1, 2, 3, 4}, 1, 3, false, func(p *planting, size float64) {
		p.jump(0.4, 50, 0, 1+pc(size))
	}},
	{"range off between 0.4 and 50 Hz", "%", "sweep-jumps", []float64{0, 1, 3, 8, 20}, 3, 8, false, func(p *planting, size float64) {
		p.jump(0.4, 50, 0, 1+pc(size))
	}},
	{"imaginary part scaled", "%", "kramers-kronig-doubtful", []float64{1, 5, 10, 20, 30, 50}, 2, 50, false, func(p *planting, size float64) {
		p.each(func(_ int, _ float64, z complex128) complex128 { return complex(real(z), (1+pc(size))*imag(z)) })
	}},
	{"sign turned", "", "sign-reversed", []float64{0, 1}, 0, 1, false, func(p *planting, size float64) {
		if size == 1 {
			p.each(func(_ int, _ float64, z complex128) complex128 { return cmplx.Conj(z) })
		}
	}},
	{"inductive loop", "% of the arc", "inductive-loop", []float64{1, 5, 20, 40, 70, 100}, 5, 100, false, func(p *planting, size float64) {
		p.each(func(_ int, hz float64, z complex128) complex128 {
			jwt := complex(0, 2*math.Pi*hz*5)
			return z + complex(pc(size)*p.cell.ChargeTransfer, 0)*jwt/(1+jwt)
		})
	}},
	{"sensing leads swapped at part of the band", "% of the points", "impossible-points", []float64{0, 2, 5}, 0, 2, false, swapped},
	{"sensing leads swapped at part of the band", "% of the points", "impossible-spectrum", []float64{0, 2, 5, 8, 25, 100}, 5, 8, false, swapped},
	{"impossible points apart", "% of the points", "impossible-spectrum", []float64{0, 2, 5, 8, 13, 25}, 8, 13, false, func(p *planting, size float64) {
		for k := range int(pc(size)*61 + 0.5) {
			p.spectrum.Impedance[2*k+3] *= -1
		}
	}},
	{"band without any resistance", "decades", "no-resistance", []float64{6, 4, 3, 2, 1.5}, 6, 2, true, func(p *planting, size float64) {
		p.keep(func(_ int, hz float64) bool { return hz <= 0.0101*math.Pow(10, size) })
	}},
	{"sensing leads swapped", "", "impossible-spectrum", []float64{0, 1}, 0, 1, false, func(p *planting, size float64) {
		p.each(func(_ int, _ float64, z complex128) complex128 { return z * complex(1-2*size, 0) })
	}},
	{"gap in the band", "decades", "points-missing", []float64{0.1, 0.3, 0.6, 1, 2}, 0.3, 0.6, false, func(p *planting, size float64) {
		p.keep(func(_ int, hz float64) bool { return hz > 100 || hz < 100*math.Pow(10, 0.05-size) })
	}},
	{"points a decade", "", "points-sparse", []float64{10, 5, 3.33, 2.5, 2}, 5, 3.33, false, func(p *planting, size float64) {
		p.keep(func(i int, _ float64) bool { return i%int(10/size+0.5) == 0 })
	}},
	{"same frequency, other impedance", "% of |Z|", "doubled-points-disagree", []float64{0, 0.5, 1, 3, 10}, 1, 3, false, func(p *planting, size float64) {
		s, i := p.spectrum, p.at(2)
		z := s.Impedance[i] * complex(1+pc(size), 0)
		s.Frequency, s.Impedance, s.Line = slices.Insert(s.Frequency, i, s.Frequency[i]), slices.Insert(s.Impedance, i, z), slices.Insert(s.Line, i, 0)
	}},
	{"rows copied", "", "rows-copied", []float64{0, 1, 2, 3, 20, 61}, 2, 3, false, func(p *planting, size float64) {
		p.append(int(size), func(_ float64, z complex128) complex128 { return z })
	}},
	{"second sweep appended, off by", "% of |Z|", "two-sweeps", []float64{0, 0.5, 1, 4, 10}, 0.5, 4, false, func(p *planting, size float64) {
		again := sweep(p.cell, 0.002, p.random.Uint64())
		p.append(61, func(hz float64, _ complex128) complex128 {
			for i, f := range again.Frequency {
				if f == hz {
					return again.Impedance[i] * complex(1+pc(size), 0)
				}
			}
			return 0
		})
	}},
	{"one value everywhere", "", "impedance-constant", []float64{0, 1}, 0, 1, false, func(p *planting, size float64) {
		p.each(func(_ int, _ float64, z complex128) complex128 {
			if size == 1 {
				return 0.02 - 0.001i
			}
			return z
		})
	}},
	{"frequency times", "", "frequency-angular", []float64{1, 3, 2 * math.Pi}, 3, 2 * math.Pi, false, func(p *planting, size float64) {
		p.inUnit(size)
	}},
	{"kilohertz under hertz", "times", "frequency-scale", []float64{1, 10, 1000}, 10, 1000, false, func(p *planting, size float64) {
		p.inUnit(1 / size)
	}},
	{"kilohertz under hertz, without inductive branch", "times", "frequency-scale", []float64{1, 10, 1000}, 10, 1000, false, func(p *planting, size float64) {
		p.keep(func(_ int, hz float64) bool { return hz < 300 })
		p.inUnit(1 / size)
	}},
	{"millihertz under hertz", "times", "frequency-scale", []float64{1, 10, 1000}, 10, 1000, false, func(p *planting, size float64) {
		p.inUnit(size)
	}},
	{"sign turned in mid-sweep", "", "kramers-kronig-violated", []float64{0, 1}, 0, 1, false, func(p *planting, size float64) {
		p.each(func(_ int, hz float64, z complex128) complex128 {
			if size == 1 && hz > 3 {
				return cmplx.Conj(z)
			}
			return z
		})
	}},
	{"wrong unit of an 18650", "times", "magnitude-implausible", []float64{1, 3, 1000}, 3, 1000, false, func(p *planting, size float64) {
		p.job.Cell.Format = "18650"
		p.each(func(_ int, _ float64, z complex128) complex128 { return z * complex(size, 0) })
	}},
	{"lowest frequency", "Hz", "arc-not-closed", []float64{0.01, 0.1, 0.3, 1, 3, 5}, 0.01, 1, true, func(p *planting, size float64) {
		p.keep(func(_ int, hz float64) bool { return hz >= 0.99*size })
	}},
	{"highest frequency", "Hz", "ohmic-extrapolated", []float64{10000, 3000, 1000, 300, 100}, 3000, 100, true, func(p *planting, size float64) {
		p.cell.LeadCoefficient = 2e-7
		p.spectrum = sweep(p.cell, 0.002, p.random.Uint64())
		p.keep(func(_ int, hz float64) bool { return hz <= 1.01*size })
	}},
	{"lead inductance", "µH", "lead-inductance-large", []float64{0.05, 0.2, 0.6, 1, 2, 3, 10}, 0.6, 2, true, func(p *planting, size float64) {
		p.remeasured(func(c *fit.Parameters) { c.LeadCoefficient = size * 1e-6 })
	}},
	{"exponent of 1 µH leads", "", "leads-lossy", []float64{1, 0.95, 0.92, 0.85, 0.8, 0.7, 0.6}, 0.95, 0.8, true, func(p *planting, size float64) {
		p.remeasured(func(c *fit.Parameters) {
			c.LeadExponent = size
			c.LeadCoefficient = 1e-6 * math.Pow(2*math.Pi*1e4, 1-size)
		})
	}},
	{"two-wire leads subtracted from four", "mΩ", "fixture-correction-large", []float64{0, 0.3, 1, 8, 12}, 1, 8, false, func(p *planting, size float64) {
		p.job.FixtureCorrection = &job.FixtureCorrection{Resistance: &job.Stated{Value: size / 1000, StandardUncertainty: 1e-5}}
	}},
	{"inductance subtracted too much", "µH", "fixture-correction-large", []float64{0, 0.1, 1, 3}, 0.1, 1, false, func(p *planting, size float64) {
		p.row.Sensing = twoWire
		p.job.FixtureCorrection = &job.FixtureCorrection{InductanceH: &job.Stated{Value: size * 1e-6, StandardUncertainty: 1e-9}}
	}},
	{"open-circuit voltage in another unit", "times", "open-circuit-moved", []float64{1, 1000}, 1, 1000, false, func(p *planting, size float64) {
		p.row.OCVBeforeV, p.row.OCVAfterV = pointer(3.652*size), pointer(3.652*size)
	}},
	{"open-circuit voltage moved", "mV", "open-circuit-moved", []float64{0, 0.5, 1, 2, 3, 5, 20}, 2, 3, false, func(p *planting, size float64) {
		p.row.OCVBeforeV, p.row.OCVAfterV = pointer(3.652), pointer(3.652-size/1000)
	}},
	{"excitation, peak", "mV", "excitation-large", []float64{1, 5, 14, 20, 25, 39}, 20, 25, false, func(p *planting, size float64) {
		p.row.AmplitudeV = pointer(size / 1000 / math.Sqrt2)
	}},
	{"excitation set in current, peak", "mV", "excitation-too-large", []float64{1, 5, 14, 25, 39, 50, 100}, 39, 50, false, func(p *planting, size float64) {
		p.row.AmplitudeA = pointer(size / 1000 / math.Sqrt2 / answered(p.spectrum))
	}},
	{"excitation, with noise of 10 µV", "mV", "excitation-small", []float64{10, 3, 1, 0.5, 0.3, 0.1}, 3, 0.3, false, func(p *planting, size float64) {
		p.row.AmplitudeA = pointer(size / 1000 / smallest(p.spectrum))
		volts, amperes := 1e-5, *p.row.AmplitudeA
		p.each(func(_ int, _ float64, z complex128) complex128 {
			return z + complex(volts/amperes, 0)*complex(p.random.NormFloat64(), p.random.NormFloat64())
		})
	}},
	{"rest", "min", "rest-too-short", []float64{120, 60, 30, 29, 10, 0}, 30, 29, false, func(p *planting, size float64) { p.row.RestMinutes = pointer(size) }},
	{"temperature", "°C", "temperature-outside-range", []float64{25, 35, 40, 40.5, 60}, 40, 40.5, false, func(p *planting, size float64) { p.row.TemperatureC = size }},
	{"state of charge", "%", "state-of-charge-off-target", []float64{50, 54, 55, 56, 80}, 55, 56, false, func(p *planting, size float64) { p.row.SOCPercent = pointer(size) }},
	{"calibration overdue", "days", "calibration-expired", []float64{-100, 0, 1, 400}, 0, 1, false, func(p *planting, size float64) {
		p.job.Instrument.CalibrationDue = p.row.MeasuredAt.AddDate(0, 0, -int(size))
	}},
}

// checked is a measurement after the checks that need no other, without fit where it is not wanted.
func (p *planting) checked(fitted bool) Measurement {
	e := Evidence{Job: p.job}
	in := Input{Row: &p.row, Spectrum: p.spectrum}
	if fitted {
		return Check(e, in)
	}
	return e.grounds().single(in).Measurements[0]
}

func (f fault) rising() bool { return f.sizes[0] < f.sizes[len(f.sizes)-1] }

func (f fault) isBad(size float64) bool {
	return f.rising() && size >= f.bad || !f.rising() && size <= f.bad
}

// insteadOf is what else may tell of a fault from the size on that is bad.
var insteadOf = map[string]string{
	"sweep-jumps-slightly":    "sweep-jumps",
	"ohmic-ahead-of-arc":      "ohmic-far-ahead-of-arc",
	"kramers-kronig-violated": "sign-reversed", // where most of the band has it
	"mains-pick-up":           "points-off",    // which says that the point lies near a mains frequency
}

// rate is the share of seeds at which a fault of a size is found.
func (f fault) rate(size float64, seeds int) (share float64) {
	for seed := range seeds {
		p := sound(uint64(seed))
		f.plant(p, size)
		m := p.checked(f.fitted)
		if m.Quality.Has(f.code) || f.isBad(size) && (m.Quality.Has("kramers-kronig-violated") || m.Quality.Has(insteadOf[f.code])) { // a graver finding takes over
			share += 1 / float64(seeds)
		}
	}
	return share
}

// How often a planted fault is found, by its size, from invisible to gross. Run with -v for the table.
func TestDetectionRates(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	for _, f := range faults {
		seeds := 20
		if f.fitted {
			seeds = 6
		}
		line := fmt.Sprintf("%-42s %-28s", f.name, f.code)
		for _, size := range f.sizes {
			less := f.rising()
			clear := (size <= f.clear) == less && (size < f.clear || size == f.clear) == less
			if !clear && !f.isBad(size) && !testing.Verbose() {
				continue // between the two nothing is promised; the rates are for the eye
			}
			share := f.rate(size, seeds)
			line += fmt.Sprintf("  %g: %.0f %%", size, 100*share)
			if share > 0 && clear {
				t.Errorf("%s of %g %s is found in %.0f %%", f.name, size, f.unit, 100*share)
			}
			if share < 1-1e-9 && f.isBad(size) {
				t.Errorf("%s of %g %s is found in %.0f %% only", f.name, size, f.unit, 100*share)
			}
		}
		t.Log(line, f.unit)
	}
}
