package health

import (
	"math"

	"ohmledger/fit/spectrum"
)

// endsEarly is how many times the lowest frequency of the others a sweep may end at before it counts as cut short.
const endsEarly = 4

// reversed finds a count of use that is lower than at an earlier measurement.
func (p *past) reversed() (quantity string, now, before float64, earlier int) {
	own := p.Measurements[p.index].Row
	for i := p.index - 1; i >= 0; i-- {
		row := p.Measurements[i].Row
		switch {
		case own.Cycles != nil && row.Cycles != nil && *own.Cycles < *row.Cycles:
			return "cycles", *own.Cycles, *row.Cycles, i
		case own.ThroughputAh != nil && row.ThroughputAh != nil && *own.ThroughputAh < *row.ThroughputAh:
			return "throughput_ah", *own.ThroughputAh, *row.ThroughputAh, i
		}
	}
	return "", 0, 0, -1
}

func seeTimeReversed(v *sight) []Fact {
	quantity, now, before, i := v.past.reversed()
	if quantity == "" {
		return nothing
	}
	return seen(word("quantity", quantity), number("now", now, One), number("before", before, One), v.past.when(i))
}

// when is the moment of another measurement of the cell.
func (p *past) when(i int) Fact { return moment("on", p.Measurements[i].Row.MeasuredAt) }

func lowestFrequency(s *spectrum.Spectrum) float64 {
	if len(s.Frequency) == 0 {
		return 0
	}
	return s.Frequency[len(s.Frequency)-1]
}

func seeBandShorter(v *sight) []Fact {
	own, others := lowestFrequency(v.spectrum), v.past.others(lowestFrequency)
	if others == 0 || own <= endsEarly*others {
		return nothing
	}
	return seen(number("lowest", own, Hertz), number("others", others, Hertz))
}

// own is the step that leads to the measurement.
func (p *past) own() *step { return &p.steps[p.index] }

func seeFirstOhmicUnlike(v *sight) []Fact { return v.firstUnlike("ohmic") }
func seeFirstArcUnlike(v *sight) []Fact   { return v.firstUnlike("arc") }

func (v *sight) firstUnlike(what string) []Fact {
	if v.past.own().unlike != what {
		return nothing
	}
	for i := range v.past.steps {
		if t := &v.past.steps[i]; t.from == v.past.index {
			return seen(uncertain("shift", -t.shift.Estimate(), t.shift.StandardUncertainty(), Ohm), number("share", -t.along(), Fraction),
				number("arc", -t.grown(), Fraction), v.past.when(i))
		}
	}
	return nothing
}

// shiftFacts are what a shift along the real axis is stated by.
func (v *sight) shiftFacts() []Fact {
	t, by := v.past.own(), "curves"
	arc := t.grown()
	if t.predicted {
		by, arc = "trend", t.arcExcess()
	}
	return seen(uncertain("shift", t.shift.Estimate(), t.shift.StandardUncertainty(), Ohm), number("share", t.along(), Fraction),
		number("arc", arc, Fraction), v.past.when(t.from), word("by", by))
}

func (v *sight) slid(as slide) []Fact {
	if v.past.own().slide != as {
		return nothing
	}
	return v.shiftFacts()
}

func seeShift(v *sight) []Fact       { return v.slid(rigid) }
func seeShiftUndone(v *sight) []Fact { return v.slid(undone) }
func seeShiftSlight(v *sight) []Fact { return v.slid(slight) }

// seeShiftCarried tells of a shift that came before this measurement and stands between it and the first.
func seeShiftCarried(v *sight) []Fact {
	t := v.past.own()
	if t.from < 0 || t.slide == rigid || !(math.Abs(t.offset) >= rigidShare*t.ohmic) || !(t.ohmic > 0) {
		return nothing
	}
	came := t.from
	for v.past.steps[came].slide != rigid && v.past.steps[came].from >= 0 {
		came = v.past.steps[came].from
	}
	return seen(number("offset", t.offset, Ohm), number("share", t.offset/t.ohmic, Fraction), v.past.when(came))
}

func seeStepAlone(v *sight) []Fact {
	t := v.past.own()
	if t.alone == "" {
		return nothing
	}
	size := t.grown()
	if t.alone == "capacity_ah" {
		size = math.Expm1(t.capacity)
	}
	return seen(word("quantity", t.alone), number("step", size, Fraction), number("ohmic", t.along(), Fraction), v.past.when(t.from))
}
