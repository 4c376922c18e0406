package fit

import (
	"fmt"
	"math"
)

// structuredBelow is the score of the runs test below which residuals are called structured: fewer runs than
// independent residuals would show in one of two hundred sweeps.
const structuredBelow = -2.6

// doubts collects what makes one spectrum's result less sure than its numbers look.
func (r *Result) doubts(t *task, i int, tr *trace) {
	add := func(code, text string, facts ...Fact) { r.Doubts = append(r.Doubts, Doubt{code, text, facts}) }
	if r.Status != Converged {
		add("not-converged", fmt.Sprintf("The fit %s; its values are the last it reached.", r.Status), within("status", r.Status.Statement()))
	}
	if r.RunsZ < structuredBelow {
		add("structured-residuals", fmt.Sprintf("The residuals bend rather than scatter (runs test %.1f): the circuit is not quite this cell. "+
			"The budget of the judged quantities counts that as a line of its own.", r.RunsZ), number("runs", r.RunsZ))
	}
	if !tr.outline.closed {
		add("arc-not-closed", "No valley separates arcs and diffusion tail inside the band: the arc is not closed, and its width is in part extrapolated.")
	}
	if !tr.outline.inductive {
		add("ohmic-extrapolated", "The curve does not cross the real axis inside the band: the ohmic resistance is extrapolated towards higher frequency.")
	}
	for _, p := range t.pinned {
		if math.Abs(p.coordinate) < pinnedAt {
			continue // held where a history has it
		}
		bound := exponentBounds[p.slot].open(p.coordinate)
		if p.slot == slotLeadExponent && p.coordinate > 0 {
			continue // leads without losses: an ideal inductance
		}
		add("exponent-at-bound", fmt.Sprintf("The %s lies at its bound (%.2f) and was held there.", slotNames[p.slot], bound),
			name("parameter", slotKeys[p.slot]), number("bound", bound))
	}
	if a, b, c := r.closest(t.slots()); c > strongCorrelation {
		add("strong-correlation", fmt.Sprintf("%s and %s are hardly told apart by this spectrum (correlation %.3f).", capital(slotNames[a]), slotNames[b], c),
			name("a", slotKeys[a]), name("b", slotKeys[b]), number("correlation", c))
	}
}

// strongCorrelation is the size beyond which two parameters are mentioned as hardly told apart.
const strongCorrelation = 0.99

// closest is the pair of coordinates with the largest correlation.
func (r *Result) closest(slots []int) (a, b int, size float64) {
	for i, row := range r.Correlation {
		for j := range i {
			if c := max(row[j], -row[j]); c > size {
				a, b, size = slots[j], slots[i], c
			}
		}
	}
	return a, b, size
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
