package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// drift says how much the resistances of a history rest on the exponents' staying what they are.
//
// The spectra are fitted once more with exponents that may drift along the history, and the probability of a drift follows
// from both fits (Laplace's approximation of the evidence; MacKay, Information Theory, Inference, and Learning Algorithms,
// 2003, 28.1). Results are stated without it; the mean square error that they then have is that of a mean over
// models (Hoeting et al., Statist. Sci. 14 (1999) 382, eq. 3).
type drift struct {
	probability float64                   // that the exponents drift, given the spectra
	shift       [][elementCount]float64   // ln R where the exponents drift minus ln R where they do not
	slopes      [][elementCount][]float64 // how ln R follows each exponent's slope along the history
	spread      []float64                 // covariance of the slopes, row-major
}

// driftAtFirst is the probability of a drift before the spectra have spoken: nothing known.
const driftAtFirst = 0.5

// findDrift looks for a drift of the exponents along the histories; nil where none has two spectra.
func (g *group) findDrift() *drift {
	if g.doubt == nil || !slices.ContainsFunc(g.all, func(h []*trace) bool { return len(h) > 1 }) {
		return nil
	}
	d := g.fittedDrift()
	if d == nil {
		d = g.possibleDrift()
	}
	d.slopes = g.slopes()
	return d
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
	c, ok := t.solver.Covariance(t.locals(), t.shared)
	if statuses[t.status] != Converged || !t.allOrdered() || !ok {
		return nil
	}
	d := &drift{probability: g.driftProbability(t, c.Shared), shift: make([][elementCount]float64, len(at)), spread: corner(c.Shared, len(l.exponents))}
	for i := range at {
		a, b := g.task.at(i), t.at(i)
		p, q := l.parameters(&a), l.parameters(&b)
		for e := Ohmic; e < elementCount; e++ {
			d.shift[i][e] = finite(math.Log(q.resistance(e) / p.resistance(e)))
		}
	}
	return d
}

// driftProbability weighs the fit t, in which the exponents drift, against the group's. Both hold the same spectra at the
// same weights and the same expectations of the exponents, so that their evidence differs by the costs, by how closely
// the shared parameters are determined, and by what was expected of the slopes.
func (g *group) driftProbability(t *task, shared []float64) float64 {
	n := len(g.task.exponents)
	odds := (g.task.cost-t.cost)/2 + (logDeterminant(shared, 2*n)-logDeterminant(g.doubt.covariance.Shared, n))/2 - float64(n)*math.Log(driftSpread)
	if math.IsNaN(odds) {
		return 1
	}
	return 1 / (1 + (1-driftAtFirst)/driftAtFirst*math.Exp(-odds))
}

// logDeterminant of a covariance of size n, row-major; NaN where it has none.
func logDeterminant(covariance []float64, n int) float64 {
	if slices.ContainsFunc(covariance, func(v float64) bool { return math.IsInf(v, 0) }) {
		return math.NaN()
	}
	var c mat.Cholesky
	if n == 0 || !c.Factorize(mat.NewSymDense(n, covariance)) {
		return math.NaN()
	}
	return c.LogDet()
}

// corner is the last n rows and columns of a matrix of size 2n.
func corner(m []float64, n int) []float64 {
	c := make([]float64, 0, n*n)
	for row := n; row < 2*n; row++ {
		c = append(c, m[row*2*n+n:row*2*n+2*n]...)
	}
	return c
}

// possibleDrift is what may be expected of a drift where no fit says more.
func (g *group) possibleDrift() *drift {
	n := len(g.task.exponents)
	d := &drift{probability: 1, shift: make([][elementCount]float64, len(g.traces)), spread: make([]float64, n*n)}
	for k := range n {
		d.spread[k*n+k] = driftSpread * driftSpread
	}
	return d
}

// slopes says how ln R follows the exponents' slopes, sizes and times fitted anew: a spectrum, an element, a slope.
func (g *group) slopes() [][elementCount][]float64 {
	l := g.task.layout
	slopes := make([][elementCount][]float64, len(g.traces))
	for i := range slopes {
		x := g.task.at(i)
		for e := Ohmic; e < elementCount; e++ {
			s := follow(l, e, l.parameters(&x), g.doubt.covariance.Loadings[i], len(l.exponents))
			for k := range s {
				s[k] *= g.task.sheets[i].position
			}
			slopes[i][e] = s
		}
	}
	return slopes
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

// uncertainty is the standard uncertainty of ln(R_a/R_b) that a drift of the exponents gives.
func (d *drift) uncertainty(a, b int, e Element) float64 {
	if d == nil {
		return 0
	}
	difference := make([]float64, len(d.slopes[a][e]))
	for k := range difference {
		difference[k] = d.slopes[a][e][k] - d.slopes[b][e][k]
	}
	shift := d.shift[a][e] - d.shift[b][e]
	return math.Sqrt(d.probability * (shift*shift + max(0, quadratic(difference, d.spread, difference))))
}
