package fit

import "math"

// A spectrum that the shared exponents describe far worse than is typical is fitted by itself: with leads of its own where
// these are what differs, or else with exponents of its own.
const (
	apartAbove   = 0.003 // rms residual from which a departure is worth a fit by itself
	strangeAbove = 0.01  // rms residual from which all exponents may be a spectrum's own
)

// separate fits by themselves the spectra that the shared exponents describe far worse than is typical.
func (g *group) separate(typical float64) {
	for i := range g.traces {
		rms := g.task.rms(i)
		if !g.task.joint() || rms < apartAbove || rms < departs*typical {
			continue
		}
		if own, ok := g.withOwnLeads(i); ok && own.task.rms(0) < rms/2 && own.task.ordered(0) {
			g.apart[i] = own
			continue
		}
		if rms < strangeAbove {
			continue
		}
		alone := newCandidate(g.task.structure, []*trace{g.candidate.traces[i]})
		if alone.doubt != nil && alone.task.rms(0) < rms/2 && alone.task.ordered(0) {
			g.apart[i] = alone
		}
	}
}

// leadsInDoubt is the standard uncertainty that leads of its own leave, as a share of what they change, since other leads seldom differ
// in their exponent alone: of our own, from ideal inductance in series with lossy leads (apart_test.go).
const leadsInDoubt = 0.05

// withOwnLeads fits one spectrum with all exponents as they are shared but that of the leads.
func (g *group) withOwnLeads(i int) (c candidate, ok bool) {
	l, x := g.task.layout, g.task.at(i)
	if !l.lead {
		return c, false
	}
	l.drift, l.fixed, l.exponents, l.pinned = false, nil, []int{slotLeadExponent}, nil
	for _, slot := range l.slots() {
		if slot >= firstExponent && slot != slotLeadExponent {
			l.pinned = append(l.pinned, pin{slot, x[slot]})
		}
	}
	x[slotLeadExponent] = math.Min(x[slotLeadExponent], pinnedFrom)
	own := g.candidate.traces[i].clone()
	c = candidate{task: newTask(l, []*sheet{own.sheet}, []vector{x}), traces: []*trace{own}}
	c.task.solve(rough)
	c = c.finish()
	return c, c.doubt != nil
}

// describeApart is the result of a spectrum that was fitted by itself, no surer than one beside it that was not.
func (g *group) describeApart(alone candidate, i int) *Result {
	r := describe(alone.task, alone.doubt, 0, alone.traces[0])
	if len(alone.task.exponents) != 1 || alone.task.exponents[0] != slotLeadExponent {
		r.Doubts = append(r.Doubts, Doubt{Code: "departs-from-history",
			Text: "This spectrum departs from the rest of its history: the exponents that the others share describe it badly, and it was fitted with exponents of its own."})
		return r
	}
	j := g.besides(i)
	among := describe(g.task, g.doubt, j, g.candidate.traces[j])
	x := g.task.at(i)
	shared := g.task.parameters(&x)
	for e := Ohmic; e < elementCount; e++ {
		moved := finite(math.Log(r.Parameters.resistance(e) / shared.resistance(e)))
		r.LogModelU[e] = math.Hypot(math.Max(r.LogModelU[e], among.LogModelU[e]), leadsInDoubt*moved)
		if u := among.Resistance(e).Relative(); u > r.Resistance(e).Relative() {
			r.remember(e, u)
		}
	}
	r.Doubts = append(r.Doubts, Doubt{Code: "leads-of-its-own",
		Text: "Its leads are not those of the other measurements of the history: they were fitted with an exponent of their own, the arcs with the exponents that all share."})
	return r
}

// besides is the spectrum nearest to one that was set apart among those that were not, itself where there is none.
func (g *group) besides(i int) int {
	for step := 1; step < len(g.traces); step++ {
		for _, j := range []int{i - step, i + step} {
			if j < 0 || j >= len(g.traces) {
				continue
			}
			if _, is := g.apart[j]; !is {
				return j
			}
		}
	}
	return i
}
