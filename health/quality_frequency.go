package health

import (
	"math"
	"math/cmplx"

	"ohmledger/fit/spectrum"
)

// Signs that frequencies are a thousand times too low or too high: kilohertz or millihertz stand under a heading of hertz. A spectrum
// keeps its shape when they are, so that only what it says of time and of leads gives it away.
const (
	lateStartHz  = 200    // a sweep for resistances begins above (common practice: at 1 kHz or more)
	longSweep    = 6      // hours of one period a point: longer ones are made for diffusion alone, from above lateStartHz
	slowCrossing = 20     // Hz, the real axis is crossed above (common practice: from 0.1 to 10 kHz; leads of 10 µH at 20 mΩ cross at 50 Hz)
	mostLeads    = 10e-6  // H: six metres of straight wire, see straightLead
	leastLeads   = 5e-9   // H: two clips side by side have more (about 1 nH for each mm of wire, see straightLead)
	fastEndHz    = 500e3  // above, leads of leastLeads rule at a milliohm cell
	leadsShow    = 0.3    // of |Z|, the reactance of leastLeads at the top of the band from which it is seen
	otherScaleHz = 1e2    // by which both ends of a band are off where the unit is another (1000); no sweep is set so
	hour         = 3600.0 // s
)

// frequencyScale says by what sign the frequencies of a spectrum are a thousand times too low or too high; "" where there is none.
func frequencyScale(s *spectrum.Spectrum) (how string) {
	if len(s.Frequency) == 0 {
		return ""
	}
	top, z := s.Frequency[0], s.Impedance[0]
	switch {
	case crossingHz(s) > 0 && crossingHz(s) < slowCrossing && imag(z) > 2*math.Pi*top*mostLeads:
		return "leads"
	case top <= lateStartHz && sweepTime(s) > longSweep*hour:
		return "long"
	case top >= fastEndHz && leastReactance(top) > leadsShow*cmplx.Abs(z) && imag(z) < leastReactance(top)/2:
		return "fast"
	}
	return ""
}

// leastReactance is that of the shortest leads, in ohm.
func leastReactance(hz float64) float64 { return 2 * math.Pi * hz * leastLeads }

// sweepTime is the time in seconds that a sweep takes at least: one period a point.
func sweepTime(s *spectrum.Spectrum) (seconds float64) {
	for _, f := range s.Frequency {
		seconds += 1 / f
	}
	return seconds
}

// crossingHz is the highest frequency at which the curve lies below the inductive branch that begins at the top of the band; 0 where there
// is no such branch or no end of it.
func crossingHz(s *spectrum.Spectrum) float64 {
	for i, z := range s.Impedance {
		if imag(z) <= 0 {
			if i == 0 {
				return 0
			}
			return s.Frequency[i]
		}
	}
	return 0
}

// seeFrequencyScale finds frequencies in another unit. What a fixture correction leaves of the leads says nothing.
func seeFrequencyScale(v *sight) []Fact {
	how := frequencyScale(v.spectrum)
	if how == "" || how == "fast" && v.fixture != nil {
		return nothing
	}
	s := v.spectrum
	top := s.Frequency[0]
	return seen(word("how", how), number("highest", top, Hertz), number("lowest", lowestFrequency(s), Hertz), number("crossing", crossingHz(s), Hertz),
		number("hours", sweepTime(s)/hour, One), number("inductance", max(imag(s.Impedance[0]), 0)/(2*math.Pi*top), Henry))
}

// seeFrequencyUnlike finds a band whose both ends lie elsewhere than those of the cell's other spectra, by what a unit is off. Those whose
// own scale is wrong are no measure.
func seeFrequencyUnlike(v *sight) []Fact {
	if len(v.spectrum.Frequency) == 0 || frequencyScale(v.spectrum) != "" {
		return nothing
	}
	end := func(of func(s *spectrum.Spectrum) float64) func(s *spectrum.Spectrum) float64 {
		return func(s *spectrum.Spectrum) float64 {
			if len(s.Frequency) == 0 || frequencyScale(s) != "" {
				return 0
			}
			return of(s)
		}
	}
	high, low := v.past.others(end(highestFrequency)), v.past.others(end(lowestFrequency))
	ownHigh, ownLow := highestFrequency(v.spectrum), lowestFrequency(v.spectrum)
	lower := ownHigh*otherScaleHz <= high && ownLow*otherScaleHz <= low
	higher := ownHigh >= otherScaleHz*high && ownLow >= otherScaleHz*low
	if high == 0 || !lower && !higher {
		return nothing
	}
	return seen(number("highest", ownHigh, Hertz), number("lowest", ownLow, Hertz), number("high", high, Hertz), number("low", low, Hertz))
}

func highestFrequency(s *spectrum.Spectrum) float64 { return s.Frequency[0] }
