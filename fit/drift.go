package fit

import "math"

// drift says how much the resistances of a history rest on the exponents' staying what they are.
type drift struct {
	shift [][elementCount]float64 // ln R where the exponents drift minus ln R where they do not

	// Where no drift could be looked for:
	slopes [][elementCount][]float64 // how ln R follows each exponent's slope along the history
	spread []float64                 // covariance of the slopes, row-major
}

// leastForDrift is the fewest spectra of one cell in which a drift of the exponents is looked for. In a shorter
// history it could not be told from growth: there it may be as large as driftSpread lets it.
const leastForDrift = 6

// findDrift fits once more with exponents that may drift along the history. The difference it makes is not
// applied: it is an uncertainty of the growths.
func (g *group) findDrift() *drift {
	if g.doubt == nil {
		return nil
	}
	longest := 0
	for _, h := range g.all {
		longest = max(longest, len(h))
	}
	if longest >= leastForDrift {
		if d := g.fittedDrift(); d != nil {
			return d
		}
	}
	return g.possibleDrift()
}

// fittedDrift is what the spectra say of a drift; nil where that fit comes to no end or loses the arcs' order.
func (g *group) fittedDrift() *drift {
	l := g.task.layout
	l.drift = true
	at := make([]vector, len(g.traces))
	for i := range at {
		at[i] = g.task.at(i)
	}
	t := newTask(l, g.task.sheets, at)
	t.solve(rough)
	if statuses[t.status] != Converged || !t.allOrdered() {
		return nil
	}
	d := &drift{shift: make([][elementCount]float64, len(at))}
	for i := range at {
		a, b := g.task.at(i), t.at(i)
		p, q := l.parameters(&a), l.parameters(&b)
		for e := Ohmic; e < elementCount; e++ {
			d.shift[i][e] = finite(math.Log(q.resistance(e) / p.resistance(e)))
		}
	}
	return d
}

// possibleDrift is what may be expected of a drift where the spectra are too few to say.
func (g *group) possibleDrift() *drift {
	l := g.task.layout
	n := len(l.exponents)
	d := &drift{slopes: make([][elementCount][]float64, len(g.traces)), spread: make([]float64, n*n)}
	for k := range n {
		d.spread[k*n+k] = driftSpread * driftSpread
	}
	for i := range g.traces {
		x := g.task.at(i)
		for e := Ohmic; e < elementCount; e++ {
			s := follow(l, e, l.parameters(&x), g.doubt.covariance.Loadings[i], n)
			for k := range s {
				s[k] *= g.task.sheets[i].position
			}
			d.slopes[i][e] = s
		}
	}
	return d
}

// follow is how ln R of an element follows the shared parameters, sizes and times fitted anew.
func follow(l layout, e Element, p Parameters, loadings []float64, shared int) []float64 {
	s := make([]float64, shared)
	g := l.gradient(e, p)
	if g == nil {
		return s
	}
	for a := range l.local() {
		for k := range s {
			s[k] += g[a] * loadings[a*shared+k]
		}
	}
	return s
}

// uncertainty is the standard uncertainty of ln(R_a/R_b) that a drift of the exponents gives: the whole shift where a drift was
// looked for, since the truth may as well follow it as not; what the slopes may be where it was not.
func (d *drift) uncertainty(a, b int, e Element) float64 {
	if d == nil {
		return 0
	}
	if d.spread == nil {
		return math.Abs(d.shift[a][e] - d.shift[b][e])
	}
	difference := make([]float64, len(d.slopes[a][e]))
	for k := range difference {
		difference[k] = d.slopes[a][e][k] - d.slopes[b][e][k]
	}
	return math.Sqrt(math.Max(0, quadratic(difference, d.spread, difference)))
}
