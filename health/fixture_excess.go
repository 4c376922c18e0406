package health

import (
	"math"
	"math/cmplx"

	"ohmledger/fit/spectrum"
)

const (
	mostOfAll     = 4    // times what is left of the cell, from which leads that are subtracted are more than a few clips can repeat
	fourWireShare = 0.2  // of what is left of the cell: what shorted leads show over four wires is far smaller (common practice)
	bentShare     = 0.02 // of |Z|, by which the top of a corrected branch is turned over
	straightRise  = 1.85 // of two octaves the upper one's rise over the lower one's: 2 of a reactance of leads, less below an arc's top
)

// seeOvercorrected finds a correction that takes more than leads and fixture from a spectrum.
func seeOvercorrected(v *sight) []Fact {
	if v.fixture == nil || v.fixture.Measured == nil || len(v.spectrum.Frequency) == 0 {
		return nothing
	}
	taken, left := v.fixture.Resistance.Estimate(), lowestReal(v.spectrum)
	how := ""
	switch {
	case left <= 0:
		return nothing // which is a finding of its own
	case v.turnedOver():
		how = "reversed"
	case v.row.Sensing == fourWire && taken > fourWireShare*left:
		how = "four"
	case taken > mostOfAll*left:
		how = "most"
	default:
		return nothing
	}
	return seen(word("how", how), word("by", v.fixture.Source), number("taken", taken, Ohm), number("left", left, Ohm), number("highest", v.spectrum.Frequency[0], Hertz))
}

// turnedOver reports whether a branch that the leads raise toward high frequency falls like leads of negative inductance once it is
// corrected.
func (v *sight) turnedOver() bool {
	const octave = 2
	s, top := v.spectrum, v.spectrum.Frequency[0]
	one, _, okOne := impedanceAt(s, top/octave)
	two, _, okTwo := impedanceAt(s, top/octave/octave)
	before, _, okBefore := impedanceAt(v.fixture.Measured, top/octave)
	if !okOne || !okTwo || !okBefore || imag(v.fixture.Measured.Impedance[0]) < imag(before) {
		return false
	}
	limit := bentShare * cmplx.Abs(s.Impedance[0])
	if v.kk != nil {
		limit += 2 * v.noise() * cmplx.Abs(s.Impedance[0])
	}
	if l := v.fixture.Inductance; l.Known() {
		limit += 2 * 2 * math.Pi * top * l.StandardUncertainty()
	}
	upper, lower := imag(s.Impedance[0])-imag(one), imag(one)-imag(two)
	return imag(s.Impedance[0]) < 0 && upper < -limit && (lower >= 0 || upper/lower >= straightRise)
}

// corrected is a word that says that something was subtracted; empty where nothing was.
func (v *sight) corrected() string {
	if v.fixture == nil {
		return ""
	}
	return "corrected"
}

// lowestReal is the smallest real part in ohm.
func lowestReal(s *spectrum.Spectrum) float64 {
	low := math.Inf(1)
	for _, z := range s.Impedance {
		low = min(low, real(z))
	}
	return low
}
