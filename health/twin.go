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

// place is a measurement of a cell.
type place struct {
	s *specimen
	i int
}

func (p place) spectrum() *spectrum.Spectrum { return p.s.Measurements[p.i].Spectrum }

// equalData are the measurements of one spectrum, of which it is enough to know the first, and the first of another cell than that one's.
type equalData struct{ first, elsewhere place }

// ofOther is the first of the measurements that is not of a cell; false where there is none.
func (a *equalData) ofOther(s *specimen) (p place, ok bool) {
	if a.first.s != s {
		return a.first, true
	}
	return a.elsewhere, a.elsewhere.s != nil
}

// findTwins gives each measurement the one whose data it repeats: of its own cell the first, else the first of another cell.
func findTwins(cells []*specimen) {
	seed := maphash.MakeSeed()
	groups := map[uint64][]*equalData{}
	groupOf := func(p place) *equalData { return groupOf(groups, digest(seed, p.spectrum()), p) }
	for _, s := range cells {
		for i := range s.Measurements {
			if p := (place{s, i}); len(p.spectrum().Frequency) >= fewestTwinned {
				if group := groupOf(p); group.first.s != s && group.elsewhere.s == nil {
					group.elsewhere = p
				}
			}
		}
	}
	for _, s := range cells {
		s.findOwnTwins(groupOf)
		s.findNearTwins()
	}
}

// groupOf is the group of a measurement's spectrum among those with its digest, of which it is the first where there was none.
func groupOf(groups map[uint64][]*equalData, key uint64, p place) *equalData {
	for _, group := range groups[key] {
		if sameData(group.first.spectrum(), p.spectrum()) {
			return group
		}
	}
	group := &equalData{first: p}
	groups[key] = append(groups[key], group)
	return group
}

// findOwnTwins gives a cell's measurements those that they repeat digit for digit.
func (s *specimen) findOwnTwins(groupOf func(p place) *equalData) {
	s.twins = make([]*twin, len(s.Measurements))
	earlier := map[*equalData]place{}
	for i := range s.Measurements {
		p := place{s, i}
		if len(p.spectrum().Frequency) < fewestTwinned {
			continue
		}
		group := groupOf(p)
		if own, ok := earlier[group]; ok {
			s.twins[i] = own.twin(true)
			continue
		}
		earlier[group] = p
		if other, ok := group.ofOther(s); ok {
			s.twins[i] = other.twin(false)
		}
	}
}

// twin is the measurement as another one's.
func (p place) twin(sameCell bool) *twin {
	m := &p.s.Measurements[p.i]
	return &twin{p.s.Name, m.Row.File, m.Row.MeasuredAt, sameCell, 0}
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
