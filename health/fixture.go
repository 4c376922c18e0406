package health

import (
	"math"
	"math/cmplx"

	"ohmledger/fit"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// Fixture is what was subtracted from a spectrum for leads and fixture before it was tested and fitted.
type Fixture struct {
	Source     string             // "spectrum" of the shorted fixture, or "stated"
	Resistance fit.Value          // ohm, the real part subtracted at 1 kHz
	Inductance fit.Value          // henry, the imaginary part subtracted at 1 kHz over ω; unknown where none is subtracted
	Measured   *spectrum.Spectrum // as it was before
}

// shorted is the impedance of leads and fixture in ohm at a frequency in hertz, with its standard uncertainty in each part.
type shorted struct {
	source string
	at     func(hz float64) (z complex128, uReal, uImaginary float64)
}

// shortedOf is the fixture correction of a job; nil where there is none, or its spectrum is not at hand.
func shortedOf(j *job.Job, short *spectrum.Spectrum) *shorted {
	switch {
	case j == nil || j.FixtureCorrection == nil:
		return nil
	case j.FixtureCorrection.File == "":
		return statedShort(*j.FixtureCorrection)
	case short == nil || len(short.Frequency) == 0:
		return nil
	}
	return measuredShort(short, j.Instrument)
}

// statedShort is a resistance in series with an inductance.
func statedShort(c job.FixtureCorrection) *shorted {
	var r, l job.Stated
	if c.Resistance != nil {
		r = *c.Resistance
	}
	if c.InductanceH != nil {
		l = *c.InductanceH
	}
	return &shorted{"stated", func(hz float64) (complex128, float64, float64) {
		omega := 2 * math.Pi * hz
		return complex(r.Value, omega*l.Value), r.StandardUncertainty, omega * l.StandardUncertainty
	}}
}

// measuredShort interpolates the spectrum of the shorted fixture. Beyond its band leads go on as they must: below it with the
// resistance that they have, above it with the inductance. Its uncertainty is the instrument's, and that of interpolating.
func measuredShort(short *spectrum.Spectrum, of job.Instrument) *shorted {
	x, y := nodes(short)
	n := len(x)
	return &shorted{"spectrum", func(hz float64) (complex128, float64, float64) {
		at, doubt := math.Log(hz), 0.0
		var z complex128
		switch {
		case at >= x[0]:
			z = complex(real(y[0]), imag(y[0])*hz/math.Exp(x[0]))
		case at <= x[n-1]:
			z = complex(real(y[n-1]), imag(y[n-1])*hz/math.Exp(x[n-1]))
		default:
			z, doubt = interpolated(x, y, at)
		}
		u := math.Hypot(math.Hypot(of.RelativeUncertainty*cmplx.Abs(z), of.AbsoluteUncertaintyOhm), doubt)
		return z, u, u
	}}
}

// unlikeLeads reports whether what is to be subtracted looks like something else than leads: a negative resistance or a
// capacitance somewhere from 0.1 Hz to 1 kHz.
func (c *shorted) unlikeLeads() bool {
	if c == nil {
		return false
	}
	for _, hz := range []float64{0.1, 1, 10, 100, acFrequencyHz} {
		z, u, _ := c.at(hz)
		if real(z) < -2*u || imag(z) < -2*u-0.1*math.Abs(real(z)) {
			return true
		}
	}
	return false
}

// corrects reports whether the correction is meant for a measurement. Where some of a job have two wires, it is for those only:
// four wires leave the leads out already.
func (g grounds) corrects(row *job.Measurement) bool {
	if g.short == nil {
		return false
	}
	if row.Sensing == twoWire {
		return true
	}
	for i := range g.job.Measurements {
		if g.job.Measurements[i].Sensing == twoWire {
			return false
		}
	}
	return true
}

// correctFixture subtracts leads and fixture from the measurement's spectrum where that is wanted.
func (g grounds) correctFixture(m *Measurement) {
	if !g.corrects(m.Row) {
		return
	}
	z, uReal, uImaginary := g.short.at(acFrequencyHz)
	const omega = 2 * math.Pi * acFrequencyHz
	m.Fixture = &Fixture{Source: g.short.source, Measured: m.Spectrum}
	m.Fixture.Resistance, _ = finite(real(z), uReal)
	if imag(z) != 0 || uImaginary != 0 {
		m.Fixture.Inductance, _ = finite(imag(z)/omega, uImaginary/omega)
	}
	corrected := *m.Spectrum
	corrected.Impedance = make([]complex128, len(m.Spectrum.Impedance))
	for i, hz := range m.Spectrum.Frequency {
		z, _, _ := g.short.at(hz)
		corrected.Impedance[i] = m.Spectrum.Impedance[i] - z
	}
	m.Spectrum = &corrected
}

// Effects of the correction are those of one set of leads, common to all measurements that it is subtracted from.
const (
	fixtureEffect = "fixture correction"
	fixtureReal   = "fixture/real"
	fixtureImag   = "fixture/imaginary"
)

// fixtureEffects are what the correction's uncertainty does to the logarithm of a resistance of the measurement.
// Arcs stand beside the leads and have none of it.
func (m *Measurement) fixtureEffects(r resistance, ohm float64) []effect {
	if m.Fixture == nil || !traits[r].offset {
		return nil
	}
	if r != alternating {
		return []effect{{fixtureEffect, fixtureReal, -m.Fixture.Resistance.StandardUncertainty() / ohm, true}}
	}
	uReal, uImaginary, z := m.fixtureAt1kHz()
	size := cmplx.Abs(z)
	return []effect{
		{fixtureEffect, fixtureReal, -real(z) / size * uReal / size, true},
		{fixtureEffect, fixtureImag, -imag(z) / size * uImaginary / size, true},
	}
}

// fixtureAt1kHz is the standard uncertainty of the correction's parts at 1 kHz in ohm, and the cell's impedance there.
func (m *Measurement) fixtureAt1kHz() (uReal, uImaginary float64, z complex128) {
	z, _, _ = impedanceAt(m.Spectrum, acFrequencyHz)
	uReal = m.Fixture.Resistance.StandardUncertainty()
	if m.Fixture.Inductance.Known() {
		uImaginary = 2 * math.Pi * acFrequencyHz * m.Fixture.Inductance.StandardUncertainty()
	}
	return uReal, uImaginary, z
}

// read1kHz fills the a.c. resistance, with the uncertainty of the fixture correction where there is one.
func (m *Measurement) read1kHz(of job.Instrument) {
	m.ACResistance1kHz, m.interpolation = acResistance(m.Spectrum, of)
	if m.Fixture == nil || !m.ACResistance1kHz.Known() {
		return
	}
	u := m.ACResistance1kHz.StandardUncertainty()
	ohm := m.ACResistance1kHz.Estimate()
	for _, e := range m.fixtureEffects(alternating, ohm) {
		u = math.Hypot(u, e.size*ohm)
	}
	m.ACResistance1kHz, _ = finite(ohm, u)
}
