package fit

import (
	"math"
)

// A spectrum is looked at again where it steps out of its neighbours' line, where its arcs have changed
// places, or where it is described much worse than the others.
const (
	suspiciousStep = 0.25 // of ln R of an arc, against the mean of the two neighbours
	suspiciousRMS  = 1.3  // times the history's typical residual
)

// polish tries again, from either neighbour's solution, the spectra that look suspicious, with the exponents as they
// stand. It keeps what describes a spectrum better, and reports whether any has moved.
func (t *task) polish(traces []*trace) (moved bool) {
	if len(t.sheets) < 2 {
		return false
	}
	l := t.layout
	l.fixed = t.shared
	typical := t.typicalRMS()
	for i := range t.sheets {
		if !t.suspicious(i, typical) {
			continue
		}
		for _, j := range []int{i - 1, i + 1} {
			if !t.neighbours(i, j) || !t.ordered(j) {
				continue
			}
			s := *t.sheets[i]
			other := newTask(l, []*sheet{&s}, []vector{traces[i].outline.like(t.at(j), traces[j].outline)})
			other.solve(fine)
			if other.ordered(0) && (!t.ordered(i) || other.rms(0) < (1-1e-4)*t.rms(i)) {
				t.local[i] = other.local[0]
				moved = true
			}
		}
	}
	return moved
}

func (t *task) suspicious(i int, typical float64) bool {
	if !t.ordered(i) || t.rms(i) > suspiciousRMS*typical {
		return true
	}
	before, after := i-1, i+1
	if !t.neighbours(i, before) {
		before = i
	}
	if !t.neighbours(i, after) {
		after = i
	}
	x, a, b := t.at(i), t.at(before), t.at(after)
	for _, slot := range []int{slotFilm, slotTransfer} {
		if t.film || slot != slotFilm {
			if math.Abs(x[slot]-(a[slot]+b[slot])/2) > suspiciousStep {
				return true
			}
		}
	}
	return false
}

// neighbours reports whether j is a spectrum of the same history as i.
func (t *task) neighbours(i, j int) bool {
	return j >= 0 && j < len(t.sheets) && t.sheets[i].history == t.sheets[j].history
}
