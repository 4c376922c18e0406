package health

import (
	"math"
	"slices"
)

// judgeStep says what one step is, when those before it have been judged.
func (s *specimen) judgeStep(i int) {
	t := &s.steps[i]
	if t.from < 0 {
		return
	}
	t.offset = s.steps[t.from].offset
	if s.steps[t.from].unlike == "" {
		s.judgeShift(t, i)
	}
	s.judgeAlone(t, i)
}

// judgeShift looks for a shift along the real axis: of the curves, or of the ohmic resistance beyond temperature and trend.
func (s *specimen) judgeShift(t *step, i int) {
	stiff := t.stiff() && !(t.warmed && t.excess.known)
	if t.predicted = !stiff && t.excess.alone(); t.predicted {
		t.shift, t.ohmic = t.excess.asShift(t.ohmic + t.shift.Estimate())
	}
	if t.takesBack() {
		t.slide, t.offset = undone, t.offset+t.shift.Estimate()
		if math.Abs(t.offset) < sure*t.shift.StandardUncertainty() {
			t.offset = 0
		}
		return
	}
	share := math.Abs(t.along())
	if !stiff && !t.predicted || share < slightShare || math.Abs(t.shift.Estimate()) < slightOhm || s.steady(i) {
		return
	}
	t.slide = slight
	if share < rigidShare {
		return
	}
	t.slide = rigid
	t.offset += t.shift.Estimate()
}

// takesBack reports whether a step takes most of the offset away that came before it.
func (t *step) takesBack() bool {
	certain := t.predicted || math.Abs(t.shift.Estimate()) > sure*t.shift.StandardUncertainty()
	return t.known && t.offset != 0 && certain && math.Abs(t.offset+t.shift.Estimate()) < math.Abs(t.offset)/unlikeRest
}

// judgeAlone finds a step of the arcs that is unlike the history's steps about it, where nothing else makes one. Of the capacity, which
// falls by itself as lithium is lost, only a rise is strange, and a fall that comes back.
func (s *specimen) judgeAlone(t *step, i int) {
	if back := s.steps[t.from].alone; back != "" && quantities[back](t)*quantities[back](&s.steps[t.from]) < 0 {
		return // the step back
	}
	arc := math.Abs(t.grown())
	sureArc := t.known && t.arc.Known() && arc > sure*t.arc.StandardUncertainty()
	if t.excess.known { // nor is it temperature or the trend
		arc = min(arc, math.Abs(t.excess.arc))
		sureArc = arc > excessSure*t.excess.arcU
	}
	arcSteps, capacitySteps := s.outstanding(i, (*step).grown), s.outstanding(i, capacityStep)
	strange := t.capacity > aloneCapacity || t.capacity < -aloneCapacity && s.comesBack(i)
	switch {
	case s.outstanding(i, (*step).along) && 4*math.Abs(t.along()) > arc:
	case sureArc && arc > aloneArc && arcSteps && !capacitySteps:
		t.alone = "charge_transfer_ohm"
	case strange && capacitySteps && !arcSteps:
		t.alone = "capacity_ah"
	}
}

// quantities that can step alone.
var quantities = map[string]func(*step) float64{"charge_transfer_ohm": (*step).grown, "capacity_ah": capacityStep}

func capacityStep(t *step) float64 { return t.capacity }

// comesBack reports whether the next step takes most of a fall of the capacity back.
func (s *specimen) comesBack(i int) bool {
	for k := range s.steps {
		if s.steps[k].from == i {
			return s.steps[k].capacity > -s.steps[i].capacity/2
		}
	}
	return false
}

// outstanding reports whether a step is several times the median of the steps about it, of which there are two at least.
func (s *specimen) outstanding(i int, of func(*step) float64) bool {
	var sizes []float64
	for distance := 1; distance < len(s.steps) && len(sizes) < stepsAbout; distance++ {
		for _, k := range [...]int{i - distance, i + distance} {
			if k < 0 || k >= len(s.steps) || s.steps[k].from < 0 {
				continue
			}
			if x := math.Abs(of(&s.steps[k])); !math.IsNaN(x) {
				sizes = append(sizes, x)
			}
		}
	}
	return len(sizes) >= 2 && math.Abs(of(&s.steps[i])) > (unlikeRest+1)*typical(sizes)
}

// firstUnlike marks a first measurement that the following ones, which agree among themselves, are unlike. Two at least must
// follow. Arcs that grow after the first measurement may be the cell's; arcs that fall are not its age.
func (g grounds) firstUnlike(s *specimen) {
	accepted := s.accepted()
	if len(accepted) == 0 {
		return
	}
	var chain []int
	for _, i := range accepted {
		if len(chain) == 0 && s.steps[i].from == accepted[0] || len(chain) > 0 && s.steps[i].from == chain[len(chain)-1] {
			chain = append(chain, i)
		}
	}
	if len(chain) < 3 {
		return
	}
	for k, i := range chain {
		without := -1
		if k > 0 {
			without = accepted[0]
		}
		s.steps[i].excess = g.excess(s, i, without)
	}
	s.markFirst(accepted[0], &s.steps[chain[0]], chain[1:])
}

// markFirst marks the first measurement by the step that follows it, where the rest of the steps is quiet against that.
func (s *specimen) markFirst(at int, first *step, rest []int) {
	clip, along, grown := first.stiff() || first.excess.alone(), (*step).along, (*step).grown
	if first.excess.known {
		along, grown = (*step).alongExcess, (*step).arcExcess
	}
	quiet := func(of func(*step) float64) bool {
		most := math.Abs(of(first)) * quietAfter
		return !slices.ContainsFunc(rest, func(i int) bool { return math.Abs(of(&s.steps[i])) > most })
	}
	sureFall := first.known && first.arc.Known() && -grown(first) > max(unlikeArc, sure*first.arc.StandardUncertainty())
	switch {
	case clip && math.Abs(along(first)) >= rigidShare && quiet(along):
		s.steps[at].unlike = "ohmic"
	case sureFall && math.Abs(along(first)) < -grown(first)/4 && quiet(grown):
		s.steps[at].unlike = "arc"
	}
}
