package fit

import (
	"math"
	"slices"
)

// drift says how much the resistances of a history rest on the exponents' staying what they are.
//
// The spectra are fitted once more with exponents that may drift along the history, each by a slope and a bow. Every
// exponent may drift or not, by little or by much: the spectra give each of these models a probability. Results are stated
// without drift; the mean square error that they then have is that of a mean over models (Hoeting et al., Statist. Sci. 14
// (1999) 382, eq. 3).
type drift struct {
	probability float64                   // that any exponent drifts, given the spectra
	shift       [][elementCount]float64   // ln R where the exponents drift in full minus ln R where they do not
	follows     [][elementCount][]float64 // how ln R follows each coefficient of a drift
	moment      []float64                 // second moment of those coefficients about none, row-major
}

// findDrift looks for a drift of the exponents along the histories; nil where none has two spectra.
func (g *group) findDrift() *drift {
	if g.doubt == nil || len(g.task.exponents) == 0 || !slices.ContainsFunc(g.all, func(h []*trace) bool { return len(h) > 1 }) {
		return nil
	}
	if d := g.fittedDrift(); d != nil {
		return d
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
	c, ok := t.solver.Covariance(t.locals(), t.shared)
	if statuses[t.status] != Converged || !t.allOrdered() || !ok {
		return nil
	}
	n := len(l.exponents)
	models, ok := newDriftModels(c.Shared, t.shared[n:], n)
	if !ok {
		return nil
	}
	d := &drift{shift: make([][elementCount]float64, len(at)), follows: g.follow(models.centre)}
	d.probability, d.moment = models.average()
	for i := range at {
		a, b := g.task.at(i), t.at(i)
		p, q := l.parameters(&a), l.parameters(&b)
		for e := Ohmic; e < elementCount; e++ {
			d.shift[i][e] = finite(math.Log(q.resistance(e) / p.resistance(e)))
		}
	}
	return d
}

// possibleDrift is what may be expected of a drift where no fit says more.
func (g *group) possibleDrift() *drift {
	n := driftShapes * len(g.task.exponents)
	d := &drift{probability: 1, shift: make([][elementCount]float64, len(g.traces)), moment: make([]float64, n*n), follows: g.follow(nil)}
	for k := range n {
		d.moment[k*n+k] = driftSpread * driftSpread
	}
	return d
}

// follow says how ln R follows the coefficients of a drift, sizes and times fitted anew: a spectrum, an element, a
// coefficient. centre is how the exponents' middle follows them, row-major, an exponent a row; nil where it stays.
func (g *group) follow(centre []float64) [][elementCount][]float64 {
	l := g.task.layout
	n := len(l.exponents)
	all := make([][elementCount][]float64, len(g.traces))
	for i := range all {
		x := g.task.at(i)
		shapes := driftShape(g.task.sheets[i].position)
		for e := Ohmic; e < elementCount; e++ {
			own := followShared(l, e, l.parameters(&x), g.doubt.covariance.Loadings[i], n)
			s := make([]float64, driftShapes*n)
			for at := range s {
				s[at] = shapes[at/n] * own[at%n]
				for k := range n {
					if centre != nil {
						s[at] += own[k] * centre[k*len(s)+at]
					}
				}
			}
			all[i][e] = s
		}
	}
	return all
}

// followShared is how ln R of an element follows the shared parameters, sizes and times fitted anew.
func followShared(l layout, e Element, p Parameters, loadings []float64, shared int) []float64 {
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

// between is the standard uncertainty of ln(R_a/R_b) that a drift of the exponents gives.
func (d *drift) between(a, b int, e Element) float64 {
	if d == nil {
		return 0
	}
	difference := slices.Clone(d.follows[a][e])
	for k := range difference {
		difference[k] -= d.follows[b][e][k]
	}
	return d.size(difference, d.shift[a][e]-d.shift[b][e])
}

// of is the standard uncertainty of ln R_i that a drift of the exponents gives.
func (d *drift) of(i int, e Element) float64 {
	if d == nil {
		return 0
	}
	return d.size(d.follows[i][e], d.shift[i][e])
}

// size is the root mean square over the models, and not less than the fitted drift where that is far from linear.
func (d *drift) size(follows []float64, shift float64) float64 {
	return math.Sqrt(max(quadratic(follows, d.moment, follows), d.probability*shift*shift, 0))
}
