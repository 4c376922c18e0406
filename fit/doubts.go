package fit

import "fmt"

// structuredBelow is the score of the runs test below which residuals are called structured: fewer runs than
// independent residuals would show in one of two hundred sweeps.
const structuredBelow = -2.6

// doubts collects what makes one spectrum's result less sure than its numbers look.
func (r *Result) doubts(t *task, i int, tr *trace) {
	add := func(code, format string, a ...any) {
		r.Doubts = append(r.Doubts, Doubt{code, fmt.Sprintf(format, a...)})
	}
	if r.Status != Converged {
		add("not-converged", "The fit %s; its values are the last it reached.", r.Status)
	}
	if r.RunsZ < structuredBelow {
		add("structured-residuals", "The residuals bend rather than scatter (runs test %.1f): the circuit is not quite this cell. The stated uncertainty allows for it.", r.RunsZ)
	}
	if !tr.outline.closed {
		add("arc-not-closed", "No valley separates arcs and diffusion tail inside the band: the arc is not closed, and its width is in part extrapolated.")
	}
	if !tr.outline.inductive {
		add("ohmic-extrapolated", "The curve does not cross the real axis inside the band: the ohmic resistance is extrapolated towards higher frequency.")
	}
	for _, p := range t.pinned {
		add("exponent-at-bound", "The %s lies at its bound (%.2f) and was held there.", slotNames[p.slot], exponentBounds[p.slot].open(p.coordinate))
	}
	if a, b, c := r.closest(); c > strongCorrelation {
		add("strong-correlation", "%s and %s are hardly told apart by this spectrum (correlation %.3f).", capital(a), b, c)
	}
}

// strongCorrelation is the size beyond which two parameters are mentioned as hardly told apart.
const strongCorrelation = 0.99

// closest is the pair of parameters with the largest correlation.
func (r *Result) closest() (a, b string, size float64) {
	for i, row := range r.Correlation {
		for j := range i {
			if c := max(row[j], -row[j]); c > size {
				a, b, size = r.ParameterNames[j], r.ParameterNames[i], c
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
