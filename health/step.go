package health

import (
	"math"
	"slices"
)

// step is what a measurement changed against the one before that can be compared with it.
type step struct {
	from   int // index of that one; −1: there is none
	known  bool
	offset float64 // ohm, along the real axis, of all rigid shifts since the first
	difference
	warmed    bool    // the difference is that of the fits, brought to one temperature, and not that of the curves
	excess    excess  // from what temperature and trend predict
	predicted bool    // the shift is one beyond what temperature and trend predict
	capacity  float64 // change of the logarithm of the capacity; NaN where unknown
	slide     slide
	ahead     ahead
	alone     string // the quantity that stepped by itself; empty: none
	unlike    string // of a first measurement: what the following ones agree on without it, "ohmic" or "arc"
}

// slide says what a shift along the real axis is taken for.
type slide int

const (
	still  slide = iota
	slight       // real, and small against the ohmic resistance
	rigid        // leads or contacts
	undone       // a rigid one taken back
)

const (
	comparableC   = 2      // °C between measurements whose arcs can be compared as they are
	rigidShare    = 0.10   // of the ohmic resistance, from which a shift is no small one
	slightShare   = 0.02   // of the ohmic resistance, from which one is mentioned
	slightOhm     = 2e-4   // below which no clip repeats (common practice: 0.1 to 0.5 mΩ on re-clipping)
	changedArc    = 0.20   // growth of the arcs from which the shape is another
	shiftOverArc  = 3      // times larger a share of the ohmic resistance than the arcs grew by, so that it is leads and not the cell
	unlikeRest    = 3      // times the other steps of a history, so that it is no steady growth
	quietAfter    = 1. / 3 // of the first step, that the following ones stay under
	stepsAbout    = 4      // steps of a history that one is held against
	aloneArc      = 0.20   // change of the logarithm of the arcs, from which a step is one
	aloneCapacity = 0.05   // the same of the capacity
	unlikeArc     = 0.15   // fall of the logarithm of the arcs after the first measurement
)

// walk compares each accepted measurement with the one before it and says what each step is.
func (g grounds) walk(s *specimen) {
	s.steps = make([]step, len(s.Measurements))
	for i := range s.steps {
		s.steps[i] = step{from: -1, capacity: math.NaN()}
	}
	accepted := s.accepted()
	for k, i := range accepted {
		if from := g.before(s, accepted[:k], i); from >= 0 {
			s.steps[i] = g.stepOf(s, from, i)
		}
	}
	g.firstUnlike(s)
	for _, i := range accepted {
		s.steps[i].excess = g.excess(s, i, -1)
		s.judgeStep(i)
		if len(accepted) <= fewToTrend {
			s.steps[i].ahead = g.aheadOf(s, i)
			g.takeBack(s, accepted[0], i)
		}
	}
}

// before is the latest of the earlier measurements that can be compared with one, −1 where there is none.
func (g grounds) before(s *specimen, earlier []int, i int) int {
	for _, j := range slices.Backward(earlier) {
		a, b := &s.Measurements[j], &s.Measurements[i]
		if !socApart(a.Row.SOCPercent, b.Row.SOCPercent, g.job.Conditions.SOCTolerancePercent) &&
			math.Abs(a.Row.TemperatureC-b.Row.TemperatureC) <= farC && a.sensing() == b.sensing() {
			return j
		}
	}
	return -1
}

// stepOf takes the curves themselves where their temperatures are the same, else what was fitted to them.
func (g grounds) stepOf(s *specimen, from, i int) step {
	a, b := &s.Measurements[from], &s.Measurements[i]
	t := step{from: from, capacity: math.NaN(), warmed: math.Abs(a.Row.TemperatureC-b.Row.TemperatureC) > comparableC}
	if t.warmed {
		t.difference, t.known = g.warmed(s, from, i)
	} else {
		t.difference, t.known = differ(a, b)
	}
	if c, d := a.Row.CapacityAh, b.Row.CapacityAh; c != nil && d != nil && *c > 0 && *d > 0 {
		t.capacity = math.Log(*d / *c)
	}
	return t
}

// along is the shift as a share of the ohmic resistance, of the smaller of the two so that there and back are alike; 0
// where there is none to speak of.
func (t *step) along() float64 {
	if !t.known || !(t.ohmic > 0) {
		return 0
	}
	r := t.shift.Estimate()
	return r / max(min(t.ohmic, t.ohmic+r), t.ohmic/10)
}

// grown is the change of the arcs, 0 where unknown.
func (t *step) grown() float64 {
	if !t.known || !t.arc.Known() {
		return 0
	}
	return t.arc.Estimate()
}

// stiff reports whether the curve moved and the arcs did not keep step: a sure shift, out of proportion to what the arcs did.
func (t *step) stiff() bool {
	if !t.known || !(t.ohmic > 0) || !t.arc.Known() {
		return false
	}
	grown := math.Abs(t.grown()) + 2*t.arc.StandardUncertainty()
	return math.Abs(t.shift.Estimate()) > sure*t.shift.StandardUncertainty() && grown < changedArc && math.Abs(t.along()) > shiftOverArc*grown
}

// steady reports whether a shift is like the other ones of the history: growth, and no step.
func (s *specimen) steady(i int) bool {
	own := s.steps[i].along()
	var sizes []float64
	alike, all := 0, 0
	for k := range s.steps {
		if k == i || !s.steps[k].known {
			continue
		}
		other := s.steps[k].along()
		sizes = append(sizes, math.Abs(other))
		all++
		if other*own > 0 {
			alike++
		}
	}
	return all >= 2 && 3*alike >= 2*all && math.Abs(own) <= unlikeRest*typical(sizes)
}
