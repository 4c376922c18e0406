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

func (s *specimen) judgeShift(t *step, i int) {
	if t.takesBack() {
		t.slide, t.offset = undone, t.offset+t.shift.Estimate()
		return
	}
	share := math.Abs(t.along())
	if !t.stiff() || share < slightShare || math.Abs(t.shift.Estimate()) < slightOhm || s.steady(i) {
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
	return t.known && t.offset != 0 && math.Abs(t.shift.Estimate()) > sure*t.shift.StandardUncertainty() &&
		math.Abs(t.offset+t.shift.Estimate()) < math.Abs(t.offset)/unlikeRest
}

// judgeAlone finds a step of arcs or capacity that is unlike the history's other ones, where nothing else makes one.
func (s *specimen) judgeAlone(t *step, i int) {
	arc, capacity := math.Abs(t.grown()), math.Abs(t.capacity)
	sureArc := t.known && t.arc.Known() && arc > sure*t.arc.StandardUncertainty()
	back := s.steps[t.from].alone
	if back != "" && s.opposite(t, back) || s.outstanding(i, (*step).along) && 4*math.Abs(t.along()) > arc {
		return
	}
	arcSteps, capacitySteps := s.outstanding(i, (*step).grown), s.outstanding(i, capacityStep)
	switch {
	case sureArc && arc > aloneArc && arcSteps && !capacitySteps:
		t.alone = "charge_transfer_ohm"
	case capacity > aloneCapacity && capacitySteps && !arcSteps:
		t.alone = "capacity_ah"
	}
}

func capacityStep(t *step) float64 { return t.capacity }

// opposite reports whether a step takes back the one before it.
func (s *specimen) opposite(t *step, quantity string) bool {
	before := &s.steps[t.from]
	if quantity == "capacity_ah" {
		return t.capacity*before.capacity < 0
	}
	return t.grown()*before.grown() < 0
}

// outstanding reports whether a step is several times the median of the others, of which there are two at least.
func (s *specimen) outstanding(i int, of func(*step) float64) bool {
	var sizes []float64
	for k := range s.steps {
		if x := math.Abs(of(&s.steps[k])); k != i && s.steps[k].from >= 0 && !math.IsNaN(x) {
			sizes = append(sizes, x)
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
	first, rest := &s.steps[chain[0]], chain[1:]
	quiet := func(size float64, of func(*step) float64) bool {
		return !slices.ContainsFunc(rest, func(i int) bool { return math.Abs(of(&s.steps[i])) > quietAfter*math.Abs(size) })
	}
	sureFall := first.known && first.arc.Known() && -first.grown() > max(unlikeArc, sure*first.arc.StandardUncertainty())
	switch {
	case first.stiff() && math.Abs(first.along()) >= rigidShare && quiet(first.along(), (*step).along):
		s.steps[accepted[0]].unlike = "ohmic"
	case sureFall && math.Abs(first.along()) < -first.grown()/4 && quiet(first.grown(), (*step).grown):
		s.steps[accepted[0]].unlike = "arc"
	}
}
