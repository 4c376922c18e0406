package health

import (
	"encoding/binary"
	"hash/maphash"
	"math"
	"time"

	"ohmledger/fit/spectrum"
)

// twin is another measurement whose spectrum is the same, point for point. Two sweeps never are.
type twin struct {
	cell, file string
	at         time.Time
	sameCell   bool
	apart      float64 // r.m.s., of |Z|; 0: the data are equal, digit for digit
}

// fewestTwinned is the number of points from which equal spectra are no chance.
const fewestTwinned = 3

// findTwins gives each measurement the one whose data it repeats: of its own cell an earlier one, else the first of another cell.
func findTwins(cells []*specimen) {
	type place struct {
		s *specimen
		i int
	}
	seed := maphash.MakeSeed()
	groups := map[uint64][]place{}
	for _, s := range cells {
		s.twins = make([]*twin, len(s.Measurements))
		for i := range s.Measurements {
			if data := s.Measurements[i].Spectrum; len(data.Frequency) >= fewestTwinned {
				key := digest(seed, data)
				groups[key] = append(groups[key], place{s, i})
			}
		}
	}
	for _, s := range cells {
		for i := range s.Measurements {
			data := s.Measurements[i].Spectrum
			if len(data.Frequency) < fewestTwinned {
				continue
			}
			for _, other := range groups[digest(seed, data)] {
				if s.repeats(i, other.s, other.i) {
					break
				}
			}
		}
		s.findNearTwins()
	}
}

// repeats notes that a measurement has the data of another one, and reports whether that is all there is to know.
func (s *specimen) repeats(i int, other *specimen, k int) bool {
	theirs := &other.Measurements[k]
	if s == other && k >= i || !sameData(s.Measurements[i].Spectrum, theirs.Spectrum) {
		return false
	}
	if s.twins[i] == nil || s == other {
		s.twins[i] = &twin{other.Name, theirs.Row.File, theirs.Row.MeasuredAt, s == other, 0}
	}
	return s == other
}

// digest of frequencies and impedances; equal data have equal ones.
func digest(seed maphash.Seed, s *spectrum.Spectrum) uint64 {
	bytes := make([]byte, 0, 24*len(s.Frequency))
	for i, f := range s.Frequency {
		for _, x := range [...]float64{f, real(s.Impedance[i]), imag(s.Impedance[i])} {
			bytes = binary.LittleEndian.AppendUint64(bytes, math.Float64bits(x))
		}
	}
	return maphash.Bytes(seed, bytes)
}

func sameData(a, b *spectrum.Spectrum) bool {
	if len(a.Frequency) != len(b.Frequency) {
		return false
	}
	for i := range a.Frequency {
		if a.Frequency[i] != b.Frequency[i] || a.Impedance[i] != b.Impedance[i] {
			return false
		}
	}
	return true
}

func seeDuplicate(v *sight) []Fact       { return v.duplicate(true) }
func seeDuplicateAcross(v *sight) []Fact { return v.duplicate(false) }

func (v *sight) duplicate(sameCell bool) []Fact {
	if v.past == nil || v.past.twin == nil || v.past.twin.sameCell != sameCell {
		return nothing
	}
	t := v.past.twin
	return seen(count("points", len(v.spectrum.Frequency)), word("cell", t.cell), word("file", t.file), moment("on", t.at), number("apart", t.apart, Fraction))
}
