package health

import (
	"math"
	"slices"
	"strings"
	"unicode"
)

// What rows of the table state that cannot be so.

// capacityRise is a capacity over the cell's first one, from which it is strange: cells gain one or two per cent in their first cycles
// and lose from then on (common practice).
const capacityRise = 1.05

// aMinute is what moments are written down to.
const aMinute = 60.0 // s

// seeCapacityImplausible holds a capacity against the impedance, by what the current of one hour's discharge would drop across it.
func seeCapacityImplausible(v *sight) []Fact {
	capacity, by := v.job.Cell.NominalCapacityAh, "job"
	if c := v.row.CapacityAh; c != nil && *c > 0 {
		capacity, by = *c, "row"
	}
	drop := capacity * smallest(v.spectrum)
	if drop == 0 || drop >= leastDropV && drop <= mostDropV || seeImplausible(v) != nil {
		return nothing
	}
	return seen(word("by", by), number("capacity", capacity, AmpereHour), number("impedance", smallest(v.spectrum), Ohm), number("drop", drop, Volt))
}

// seeExcitationImplausible finds an amplitude that would lay more than a cell's own voltage across it.
func seeExcitationImplausible(v *sight) []Fact {
	peak, of := v.peak(), "amplitude_a"
	if v.row.AmplitudeV != nil {
		of = "amplitude_v"
	}
	if peak <= cellV || seeImplausible(v) != nil {
		return nothing
	}
	return seen(number("peak", peak, Volt), word("of", of))
}

// seeCalibrationUnknown is about the job's instrument, as seeCalibration is.
func seeCalibrationUnknown(v *sight) []Fact {
	instrument := &v.job.Instrument
	if !instrument.CalibrationDue.IsZero() || v.row.Instrument != "" && v.row.Instrument != instrument.Name {
		return nothing
	}
	return seen(number("scale", instrument.RelativeUncertainty, Fraction))
}

// seeMomentDoubled finds two measurements of one cell that cannot both have been made at the moments that are stated.
func seeMomentDoubled(v *sight) []Fact {
	if !v.row.HasTime || sweepTime(v.spectrum) < aMinute {
		return nothing
	}
	for i := range v.past.Measurements {
		other := &v.past.Measurements[i]
		apart := math.Abs(other.Row.MeasuredAt.Sub(v.row.MeasuredAt).Seconds())
		if i != v.past.index && other.Row.HasTime && other.Quality.Accepted && apart < aMinute && sweepTime(other.Spectrum) >= aMinute {
			return seen(moment("on", v.row.MeasuredAt), word("file", other.Row.File), number("minutes", sweepTime(v.spectrum)/60, Minutes))
		}
	}
	return nothing
}

// findAlike notes for each cell another one whose label a reader may take for its own. Two that were measured on one day are two.
func findAlike(cells []*specimen) {
	first := map[string]*specimen{}
	for _, s := range cells {
		key := alike(s.Name)
		other := first[key]
		switch {
		case other == nil:
			first[key] = s
		case key != "" && !s.meets(other):
			s.alike, other.alike = other.Name, s.Name
		}
	}
}

// meets reports whether two cells were measured on one day.
func (s *specimen) meets(other *specimen) bool {
	return slices.ContainsFunc(s.Measurements, func(a Measurement) bool {
		return slices.ContainsFunc(other.Measurements, func(b Measurement) bool { return day(a.Row.MeasuredAt) == day(b.Row.MeasuredAt) })
	})
}

// alike makes labels equal that are easily written for one another: in other case, with O for 0, I or l for 1, with other marks between
// their parts, and with or without one between a letter and a digit.
func alike(label string) string {
	var b strings.Builder
	parted, before := false, ' '
	for _, r := range strings.NewReplacer("o", "0", "i", "1", "l", "1").Replace(strings.ToLower(label)) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			parted = true
			continue
		}
		if parted && unicode.IsDigit(before) == unicode.IsDigit(r) {
			b.WriteByte('-')
		}
		parted, before = false, r
		b.WriteRune(r)
	}
	return b.String()
}

// seeLabelAlike is about a cell; it is told of its last measurement.
func seeLabelAlike(v *sight) []Fact {
	if v.past.alike == "" || v.past.index != len(v.past.Measurements)-1 {
		return nothing
	}
	return seen(word("cell", v.row.Cell), word("other", v.past.alike))
}

// seeCapacityRose holds the capacity of the measurement that the cell is judged by against its first one.
func seeCapacityRose(v *sight) []Fact {
	now := v.row.CapacityAh
	if v.past == nil || v.past.growing == nil || now == nil || !v.past.isLatest() {
		return nothing
	}
	for i := range v.past.index {
		first := v.past.Measurements[i].Row.CapacityAh
		if first == nil || !(*first > 0) {
			continue
		}
		if *now <= capacityRise**first {
			return nothing
		}
		return seen(number("now", *now, AmpereHour), number("first", *first, AmpereHour), number("rise", *now / *first - 1, Fraction), v.past.when(i))
	}
	return nothing
}
