package fit

import (
	"fmt"
	"math"
)

// farBelow is how far below its arc's top a sweep has to end for −Z” that rises there to be the diffusion's whatever the outline
// says: two decades, a convention of ours.
const farBelow = 2 * math.Ln10

// topNeighbours is how many spectra of the history say where a spectrum's slow arc has its top.
const topNeighbours = 4

// requireTop takes the arcs' resistances away where the sweep ends before the top of the slow arc, as the fit has it
// or as the spectra next to it in the history have it: what a broken-off sweep shows of an arc is not that arc, and the
// faster one must not take its place.
func (g *group) requireTop(r *Result, i int) {
	if r.Parameters.ChargeTransferTimeConstant <= 0 {
		return
	}
	points := g.candidate.traces[i].sheet.points
	end := points[len(points)-1].lnOmega
	top := -math.Log(r.Parameters.ChargeTransferTimeConstant)
	next := g.topsNear(i)
	if len(next) > 0 {
		top = math.Min(top, -median(next))
	}
	far := top-end > farBelow
	switch {
	case end > top || len(next) == 0 && !far && stillRising(g.candidate.traces[i]):
		r.forgetArcs(because("unresolved-out-of-band", "the sweep ends before the top of the slow arc"))
	case g.tailTooSteep(r, end):
		gamma := r.Parameters.DiffusionExponent
		r.forgetArcs(because("unresolved-steep-tail", fmt.Sprintf("behind the arc the curve rises more steeply (exponent %.2f) than diffusion does: "+
			"a slower arc begins there, and its top lies below the band", gamma), number("exponent", gamma)))
	case r.tailOutgrows():
		r.forgetArcs(because("unresolved-outgrown", "what follows the arc is several times its size at 100 mHz already: "+
			"a slower arc begins there, and its top lies below the band"))
	}
}

func (r *Result) forgetArcs(why Statement) {
	for _, e := range []Element{Film, ChargeTransfer, Polarisation} {
		r.forget(e, why)
	}
}

// steepest is the largest exponent of a diffusion tail (common practice: 0.4 to 0.7); notableTail is the tail's share of the
// arcs' resistance at the end of the band from which its exponent is known at all.
const (
	steepest    = 0.7
	steepness   = 0.02 // what a misfit of the circuit may add to it
	notableTail = 0.25
)

// tailTooSteep reports whether what the circuit takes for diffusion rises too steeply to be that.
func (g *group) tailTooSteep(r *Result, end float64) bool {
	p := r.Parameters
	tail := p.Diffusion * math.Exp(-p.DiffusionExponent*end)
	u := 0.0
	if v := r.DiffusionExponent; v.Known() {
		u = v.StandardUncertainty()
	}
	return tail > notableTail*p.resistance(Polarisation) && p.DiffusionExponent > steepest+2*u+steepness
}

// outgrown is how many times the arcs' resistance a tail may be at tailBegins Hz: a convention of ours.
const (
	outgrown   = 2.5
	tailBegins = 0.1
)

// tailOutgrows reports whether what the circuit takes for diffusion is far larger than the arcs where diffusion only begins.
func (r *Result) tailOutgrows() bool {
	p := r.Parameters
	return p.Diffusion*math.Pow(2*math.Pi*tailBegins, -p.DiffusionExponent) > outgrown*p.resistance(Polarisation)
}

// topsNear are the logarithms of the slow arc's time constant in the nearest spectra of the same history whose
// arcs are closed inside their band.
func (g *group) topsNear(i int) (tau []float64) {
	for step := 1; step < len(g.traces) && len(tau) < topNeighbours; step++ {
		for _, j := range []int{i - step, i + step} {
			if !g.task.neighbours(i, j) || !g.candidate.traces[j].outline.closed || !g.task.ordered(j) {
				continue
			}
			tau = append(tau, g.task.at(j)[slotTransferTime])
		}
	}
	return tau
}

// stillRising reports whether −Z” is largest at the end of a band in which the arcs do not close: the top of the arc
// that is rising there lies below the band, whatever the circuit makes of the part that is seen.
func stillRising(t *trace) bool {
	points := t.sheet.points
	last := len(points) - 1
	return !t.outline.closed && largest(points[last-1:]) >= largest(points[t.outline.lowestReal:])
}
