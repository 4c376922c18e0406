package kramerskronig

import (
	"math"

	"ohmledger/fit/internal/leastsq"
	"ohmledger/fit/spectrum"
)

// FewestPoints is the number of points below which the test says nothing: fewer leave no values free beside
// a model of one time constant a decade.
const FewestPoints = 8

// The band that can be tested, highest over lowest frequency: from a decade up to far more than any instrument has.
const narrowest, widest = 10, 1e30

// Test describes the spectrum by resistances in series with resistance–capacitance pairs of given time
// constants, an inductance and a capacitance, all of which obey the Kramers–Kronig relations, and returns
// what is left over. It returns nil where there are fewer than FewestPoints points with an impedance or their band is
// under a decade.
func Test(s *spectrum.Spectrum) *Result {
	if !testable(s) {
		return nil
	}
	m := newModel(s, beyondBand, mostOf(s), mostOutliers*2+1)
	least, most := orders(len(s.Frequency), m.spread)
	r := &Result{}
	r.TimeConstants, r.Mu = m.choose(least, most)
	r.Mu = max(r.Mu, -1)
	r.describe(s, m)
	r.ReversedRMS = m.reversedRMS()
	r.Drift = m.drift()
	r.Jumps = m.jumps()
	r.Outliers = m.outliers()
	return r
}

func testable(s *spectrum.Spectrum) bool {
	points, size := 0, largest(s.Impedance)
	for _, z := range s.Impedance {
		if inverseModulus(z/complex(size, 0)) > 0 {
			points++
		}
	}
	if points < FewestPoints {
		return false
	}
	band := s.Frequency[0] / s.Frequency[len(s.Frequency)-1]
	return band >= narrowest && band <= widest
}

// mostOf is the room that the largest model needs.
func mostOf(s *spectrum.Spectrum) int {
	n := len(s.Frequency)
	_, most := orders(n, s.Frequency[0]/s.Frequency[n-1]*beyondBand*beyondBand)
	return most
}

// describe takes the figures of the residuals from the fitted model.
func (r *Result) describe(s *spectrum.Spectrum, m *model) {
	n := len(s.Frequency)
	m.linear.Residuals(m.column)
	re, im := m.column[:n], m.column[n:]
	r.Residuals = make([]complex128, n)
	for i := range re {
		r.Residuals[i] = complex(re[i], im[i])
		if size := math.Max(math.Abs(re[i]), math.Abs(im[i])); size > r.MaxResidual {
			r.MaxResidual, r.MaxIndex = size, i
		}
	}
	r.RMSResidual = math.Sqrt(m.linear.SumOfSquares() / float64(2*n))
	r.NoisePercent = 100 * m.noise()
	r.RunsZ, r.RunsZReal, r.RunsZImag = leastsq.RunsScore(re, im), leastsq.RunsScore(re), leastsq.RunsScore(im)
	r.Decades = decades(s.Frequency, r.Residuals)
}

// decades sums the residuals up by equal stretches of the logarithm of frequency, each as near a tenfold as
// goes into the band.
func decades(frequency []float64, residuals []complex128) (list []Decade) {
	band := math.Log10(frequency[0] / frequency[len(frequency)-1])
	stretches := math.Max(1, math.Round(band))
	start := 0
	for i := 1; i <= len(frequency); i++ {
		if i < len(frequency) && stretch(frequency, i, stretches/band) == stretch(frequency, start, stretches/band) {
			continue
		}
		var sum float64
		for _, e := range residuals[start:i] {
			sum += real(e)*real(e) + imag(e)*imag(e)
		}
		list = append(list, Decade{frequency[start], frequency[i-1], math.Sqrt(sum / float64(2*(i-start)))})
		start = i
	}
	return list
}

// stretch is the number, from 0, of that in which a point lies; the last point belongs to the one before it.
func stretch(frequency []float64, i int, perDecade float64) int {
	const rounding = 1e-9
	last := len(frequency) - 1
	at := math.Log10(frequency[0]/frequency[i])*perDecade + rounding
	if end := math.Log10(frequency[0]/frequency[last]) * perDecade; at >= end-rounding {
		at = end - 0.5
	}
	return int(at)
}
