package health

import "math"

const (
	fewToTrend = 3    // measurements of a cell up to which its trend tells a contact from growth in gross cases alone
	aheadShare = 0.75 // of the arcs' growth, from which the ohmic resistance grew with them or ahead of them (common practice: as a cell ages its arcs grow first)
	farAhead   = 0.3  // growth of the ohmic resistance, from which, where it is the arcs' or more, a contact is the likelier cause
)

// ahead is by how much the ohmic resistance and all arcs grew at one temperature, of the one before, where a short history cannot
// tell whether the cell or a contact did it; zero: nothing is in doubt.
type ahead struct{ ohmic, ohmicU, arcs float64 }

// aheadOf compares the two growths of a step that is no shift.
func (g grounds) aheadOf(s *specimen, i int) (a ahead) {
	t := &s.steps[i]
	if t.from < 0 || t.slide != still || s.steps[t.from].unlike != "" || t.offset != 0 {
		return a
	}
	along, alongU, ok := g.change(s, t.from, i, ohmic)
	arcs, _, resolved := g.change(s, t.from, i, polarisation)
	grown, by := math.Expm1(along), math.Expm1(arcs)
	sure := math.Abs(along) > excessSure*alongU && math.Abs(grown) >= rigidShare
	if !ok || !resolved || !sure || grown > 0 && grown < aheadShare*by || grown < 0 && grown > aheadShare*by {
		return a
	}
	return ahead{grown, math.Exp(along) * alongU, by}
}

// takeBack says of a shift back, to no less than what the cell had at its start, that the contact of the measurement before was poor: of
// three measurements the last is the sound one then.
func (g grounds) takeBack(s *specimen, start, i int) {
	t := &s.steps[i]
	if t.slide != rigid || t.shift.Estimate() >= 0 || t.from == start || s.steps[t.from].slide == rigid {
		return
	}
	if along, u, ok := g.change(s, start, i, ohmic); ok && along > -excessSure*u {
		t.slide, t.offset = undone, s.steps[t.from].offset
	}
}

// isFar reports whether a contact is the likelier cause: of the earlier measurement where the ohmic resistance fell.
func (a ahead) isFar() bool {
	return a.ohmic < 0 || a.ohmic >= farAhead && a.ohmic >= a.arcs
}

func seeOhmicAhead(v *sight) []Fact {
	t := v.past.own()
	if t.ahead == (ahead{}) || seeOhmicFarAhead(v) != nil {
		return nothing
	}
	return v.aheadFacts(t)
}

// seeOhmicFarAhead tells of a measurement that a contact spoiled, its own, or an earlier one that it is held against.
func seeOhmicFarAhead(v *sight) []Fact {
	t := v.past.own()
	if t.ahead != (ahead{}) && t.ahead.isFar() {
		return v.aheadFacts(t)
	}
	for t.from >= 0 {
		if t = &v.past.steps[t.from]; t.ahead.ohmic < 0 {
			return v.aheadFacts(t)
		}
	}
	return nothing
}

func (v *sight) aheadFacts(t *step) []Fact {
	way := "grew"
	if t.ahead.ohmic < 0 {
		way = "fell"
	}
	return seen(uncertain("ohmic", t.ahead.ohmic, t.ahead.ohmicU, Fraction), number("arc", t.ahead.arcs, Fraction), v.past.when(t.from), word("way", way))
}
