package health

import (
	"math"
	"math/cmplx"

	"ohmledger/fit"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

const (
	acFrequencyHz = 1000 // IEC 61960-3
	// acReach is how far beyond the measured band 1 kHz may lie, as a fraction of the band's end. The standard
	// itself allows 1.0 ± 0.1 kHz.
	acReach = 0.05
)

// acResistance is |Z| at 1 kHz with its standard uncertainty, instrument and interpolation together, and the part of the
// interpolation, in ohm. It is unknown where 1 kHz lies outside the band.
func acResistance(s *spectrum.Spectrum, instrument job.Instrument) (v fit.Value, interpolation float64) {
	z, doubt, ok := impedanceAt(s, acFrequencyHz)
	modulus := cmplx.Abs(z)
	if !ok {
		return fit.Value{}, 0
	}
	u := math.Hypot(math.Hypot(instrument.RelativeUncertainty*modulus, instrument.AbsoluteUncertaintyOhm), doubt)
	v, _ = finite(modulus, u)
	return v, doubt
}

// impedanceAt interpolates the complex impedance in ln f, by the cubic through the two points on each side
// (fewer at the band's end). The standard uncertainty of that, in ohm, is the difference from a straight line as the half-width of a rectangle
// (JCGM 100:2008, 4.3.7): more than the cubic's own error where points are dense, and honest where they are not.
func impedanceAt(s *spectrum.Spectrum, frequencyHz float64) (z complex128, uncertainty float64, ok bool) {
	x, y := nodes(s)
	n := len(x)
	target := math.Log(frequencyHz)
	if n < 2 || target > x[0]+math.Log1p(acReach) || target < x[n-1]+math.Log1p(-acReach) {
		return 0, 0, false
	}
	z, uncertainty = interpolated(x, y, target)
	return z, uncertainty, true
}

// interpolated is the impedance at a place in ln f among at least two nodes, with the standard uncertainty of interpolating.
func interpolated(x []float64, y []complex128, target float64) (z complex128, uncertainty float64) {
	n := len(x)
	k := 0 // the target lies between nodes k and k+1, or just outside the band beside them
	for k < n-2 && x[k+1] > target {
		k++
	}
	line := lagrange(x[k:k+2], y[k:k+2], target)
	if target > x[0] || target < x[n-1] {
		nearest := y[0]
		if target < x[n-1] {
			nearest = y[n-1]
		}
		return line, cmplx.Abs(line-nearest) / math.Sqrt(3)
	}
	from, to := max(k-1, 0), min(k+3, n)
	z = lagrange(x[from:to], y[from:to], target)
	return z, cmplx.Abs(z-line) / math.Sqrt(3)
}

// nodes are ln f, highest first, with points of equal frequency averaged.
func nodes(s *spectrum.Spectrum) (x []float64, y []complex128) {
	for i := 0; i < len(s.Frequency); {
		sum, n := complex(0, 0), 0
		f := s.Frequency[i]
		for ; i < len(s.Frequency) && s.Frequency[i] == f; i++ {
			sum += s.Impedance[i]
			n++
		}
		x, y = append(x, math.Log(f)), append(y, sum/complex(float64(n), 0))
	}
	return x, y
}

// lagrange is the polynomial through the points, at a place.
func lagrange(x []float64, y []complex128, at float64) (z complex128) {
	for i := range x {
		weight := 1.0
		for j := range x {
			if j != i {
				weight *= (at - x[j]) / (x[i] - x[j])
			}
		}
		z += complex(weight, 0) * y[i]
	}
	return z
}
