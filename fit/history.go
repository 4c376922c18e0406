package fit

import (
	"math"
)

// Spectrum fits the circuit to one spectrum by itself.
func Spectrum(m Measured) *Result { return Cell([]Measured{m}).Results[0] }

// Cell fits one cell's spectra, in time order, as one history: one circuit for all, exponents shared.
// It always returns a result for every spectrum; what cannot be fitted carries its reason.
func Cell(history []Measured) *History { return Group([][]Measured{history})[0] }

// Group fits the histories of comparable cells with one circuit and shared exponents, so that resistances
// of different cells mean the same thing: where a baseline is taken from other cells, or where each cell
// has one spectrum only.
func Group(histories [][]Measured) []*History {
	c := Together(histories)
	result := make([]*History, len(histories))
	for i := range histories {
		result[i] = c.History(i)
	}
	return result
}

// settled fits all spectra of the histories together.
func settled(histories [][]Measured) *group {
	g := newGroup(histories)
	if len(g.traces) > 0 {
		g.candidate, g.choice = choose(g.traces)
		g.findArcless()
		g.separate(g.task.typicalRMS())
		g.drifting = g.findDrift()
	}
	return g
}

// group is the spectra of all histories that can be fitted, and the fit.
type group struct {
	candidate
	choice   Statement
	all      [][]*trace     // a history, a spectrum
	index    map[*trace]int // into traces, for those that can be fitted
	traces   []*trace
	arcless  map[int]bool            // spectra that show no arc
	without  *candidate              // a circuit without arcs, where that was looked at
	apart    map[int]candidate       // spectra that depart so far that they are fitted by themselves
	misfits  [][elementCount]float64 // of each described spectrum's resistances, what the fit itself says
	drifting *drift                  // how far results move where the exponents drift; nil where it cannot be told
}

func newGroup(histories [][]Measured) *group {
	g := &group{index: map[*trace]int{}, arcless: map[int]bool{}, apart: map[int]candidate{}, all: make([][]*trace, len(histories))}
	for h, history := range histories {
		for k, m := range history {
			t := prepare(m)
			t.sheet.history = h
			if len(history) > 1 {
				t.sheet.position = 2*float64(k)/float64(len(history)-1) - 1
			}
			g.all[h] = append(g.all[h], t)
			if t.usable() {
				g.index[t] = len(g.traces)
				g.traces = append(g.traces, t)
			}
		}
	}
	g.misfits = make([][elementCount]float64, len(g.traces))
	return g
}

// resistance of an element, ohm.
func (p Parameters) resistance(e Element) float64 {
	return [...]float64{p.Ohmic, p.Film, p.ChargeTransfer, p.Film + p.ChargeTransfer}[e]
}

// history describes one of the group's histories.
func (g *group) history(h int) *History {
	out := &History{Arcs: 1, Choice: g.choice.Text, Because: g.choice}
	if g.task != nil && g.task.film {
		out.Arcs = 2
	}
	for _, t := range g.all[h] {
		out.Results = append(out.Results, g.result(t, out.Arcs))
	}
	out.widenByScatter(g.all[h])
	if len(out.Results) == 1 {
		out.logCov, out.logModelU = out.Results[0].alone()
		return out
	}
	place := func(k int) (int, bool) { i, ok := g.index[g.all[h][k]]; return i, ok }
	out.logCov = func(i, j int, e Element) float64 {
		a, oka := place(i)
		b, okb := place(j)
		if !oka || !okb || !out.Results[i].Resistance(e).Known() || !out.Results[j].Resistance(e).Known() {
			return math.NaN()
		}
		return g.logCovariance(a, b, e, out.Results[i])
	}
	out.logModelU = func(i, j int, e Element) float64 {
		a, oka := place(i)
		b, okb := place(j)
		if !oka || !okb || !out.Results[i].Resistance(e).Known() || !out.Results[j].Resistance(e).Known() {
			return math.NaN()
		}
		return g.modelDifference(a, b, e, out.Results[i], out.Results[j])
	}
	return out
}

// alone is the covariance and the misfit of a history of one spectrum, which need nothing of its group.
func (r *Result) alone() (logCov, logModelU func(i, j int, e Element) float64) {
	of := func(value func(e Element) float64) func(i, j int, e Element) float64 {
		return func(_, _ int, e Element) float64 {
			if !r.Resistance(e).Known() {
				return math.NaN()
			}
			return value(e)
		}
	}
	return of(func(e Element) float64 { u := r.Resistance(e).Relative(); return u * u }), of(func(Element) float64 { return 0 })
}

func (g *group) result(t *trace, arcs int) *Result {
	i, ok := g.index[t]
	if !ok {
		return tooFew(t, arcs)
	}
	if alone, ok := g.apart[i]; ok {
		r := g.describeApart(alone, i)
		g.requireTop(r, i)
		return r
	}
	r := describe(g.task, g.doubt, i, g.candidate.traces[i])
	g.addMisfits(r, i)
	g.requireTop(r, i)
	if g.arcless[i] {
		for _, e := range []Element{Film, ChargeTransfer, Polarisation} {
			r.forget(e, because("unresolved-no-arc", "no arc stands out, and a circuit without one describes the spectrum as well"))
		}
	}
	return r
}

func (g *group) logCovariance(a, b int, e Element, first *Result) float64 {
	_, apartA := g.apart[a]
	_, apartB := g.apart[b]
	switch {
	case a == b:
		u := first.Resistance(e).Relative()
		return u * u
	case apartA || apartB:
		return 0
	}
	return g.gradientAt(a, e).variance(g.doubt.between(a, b, true), g.gradientAt(b, e))
}

func (g *group) gradientAt(i int, e Element) gradient {
	x := g.task.at(i)
	return g.task.gradient(e, g.task.parameters(&x))
}

func (g *group) modelDifference(a, b int, e Element, ra, rb *Result) float64 {
	if a == b {
		return 0
	}
	_, apartA := g.apart[a]
	_, apartB := g.apart[b]
	if apartA || apartB {
		return math.Hypot(ra.LogModelU[e], rb.LogModelU[e])
	}
	return math.Sqrt(square(g.misfits[a][e]-g.misfits[b][e]) + square(g.drifting.between(a, b, e)) + square(g.hidden.of(a, e)-g.hidden.of(b, e)))
}

// tooFew is the result of a spectrum that has not enough points to be fitted.
func tooFew(t *trace, arcs int) *Result {
	r := &Result{Status: TooFewPoints, Arcs: arcs, Excluded: t.excluded, Unresolved: map[Element]string{}, Because: map[Element]Statement{},
		PointsUsed: len(t.sheet.points), RMSResidual: math.NaN(), ChiSquare: math.NaN(), Condition: math.NaN()}
	for _, p := range t.all {
		r.Fitted, r.Residuals = append(r.Fitted, p.z), append(r.Residuals, 0)
	}
	r.unresolve(because("unresolved-too-few-points", "too few usable points for the circuit"))
	return r
}
