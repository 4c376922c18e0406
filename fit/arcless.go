package fit

import "math"

// noArcs is the circuit without any arc: leads, ohmic resistance and diffusion.
var noArcs = structure{lead: true, diffusion: true, noArc: true}

// arcsInDoubt is the share of the ohmic resistance below which arcs may be an illusion: a lossy lead running into a
// diffusion tail bends the curve too.
const arcsInDoubt = 0.5

// arcless lists the spectra that a circuit without any arc describes as well as the chosen one, by the same
// evidence that decides between one arc and two. Of such a spectrum an arc's resistance is a fiction.
func (g *group) findArcless() {
	share := make([]float64, len(g.traces))
	for i := range share {
		x := g.task.at(i)
		p := g.task.parameters(&x)
		share[i] = p.resistance(Polarisation) / p.Ohmic
	}
	if median(share) > arcsInDoubt {
		return
	}
	without := begin(noArcs, g.traces).settle()
	g.without = &without
	g.markArcless()
}

// markArcless holds each spectrum's fit against the one without arcs.
func (g *group) markArcless() {
	without := g.without
	dependent := math.Pow(g.task.inflation(), 2)
	more := float64(g.task.layout.local() - without.task.layout.local())
	for i := range g.traces {
		n := math.Max(2, 2*float64(len(g.task.sheets[i].points))/dependent)
		gain := 2*n*math.Log(without.task.rms(i)/math.Max(g.task.rms(i), leastSigma)) - (more+1)*math.Log(n)
		if !(gain > 0) {
			g.arcless[i] = true
		}
	}
}
