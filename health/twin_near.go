package health

import (
	"math"
	"math/cmplx"

	"ohmledger/fit/spectrum"
)

const (
	// nearTwin is the r.m.s. difference of two spectra, of |Z|, under which the one is the other written anew: in another unit or with
	// fewer digits. On another day 0.01 °C change an arc by more (common practice).
	nearTwin = 5e-5
	nearHz   = 1e-3 // of a frequency that was written with fewer digits
)

// findNearTwins gives each measurement that repeats none digit for digit the earlier one of its cell that it repeats but for that.
func (s *specimen) findNearTwins() {
	for i := range s.Measurements {
		for k := 0; k < i && (s.twins[i] == nil || !s.twins[i].sameCell); k++ {
			theirs := &s.Measurements[k]
			if apart, near := nearData(theirs.Spectrum, s.Measurements[i].Spectrum); near {
				s.twins[i] = &twin{s.Name, theirs.Row.File, theirs.Row.MeasuredAt, true, apart}
			}
		}
	}
}

// nearData gives the r.m.s. difference of two spectra of equal frequencies, of |Z|, and whether it is that of writing alone.
func nearData(a, b *spectrum.Spectrum) (apart float64, near bool) {
	n := len(a.Frequency)
	if n != len(b.Frequency) || n < fewestNear {
		return 0, false
	}
	square, most := 0.0, nearTwin*nearTwin*float64(n)
	for i, z := range a.Impedance {
		if !(math.Abs(a.Frequency[i]-b.Frequency[i]) <= nearHz*a.Frequency[i]) {
			return 0, false
		}
		d := cmplx.Abs(z-b.Impedance[i]) / cmplx.Abs(z)
		if square += d * d; !(square <= most) {
			return 0, false
		}
	}
	return math.Sqrt(square / float64(n)), true
}

// fewestNear is the number of points from which spectra that agree so are no chance.
const fewestNear = 10
