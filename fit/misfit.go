package fit

import (
	"fmt"
	"math"
)

// hidden is what a second arc that is called for but not resolved would change: ln R with it minus ln R without it, a
// spectrum, an element, times the root of the second arc's probability: the root mean square error of the fit without it.
type hidden [][elementCount]float64

func (h hidden) of(i int, e Element) float64 {
	if i >= len(h) {
		return 0
	}
	return h[i][e]
}

// hiddenBy compares a fit with one arc with one that has two, whose arcs together are the one. gain is the evidence for the
// second, twice the logarithm of its odds.
func hiddenBy(one, two *task, gain float64) hidden {
	h := make(hidden, len(one.sheets))
	root := math.Sqrt(1 / (1 + math.Exp(-gain/2)))
	for i := range h {
		a, b := one.at(i), two.at(i)
		p, q := one.parameters(&a), two.parameters(&b)
		h[i][Ohmic] = root * finite(math.Log(q.Ohmic/p.Ohmic))
		h[i][ChargeTransfer] = root * finite(math.Log(q.resistance(Polarisation)/p.resistance(Polarisation)))
		h[i][Polarisation] = h[i][ChargeTransfer]
	}
	return h
}

// typical is what the spectra that lead a group say of one that they lead: the median size, for each of some spectra.
func (h hidden) typical(spectra int) hidden {
	if len(h) == 0 {
		return nil
	}
	t := make(hidden, spectra)
	for e := range elementCount {
		sizes := make([]float64, len(h))
		for i := range h {
			sizes[i] = math.Abs(h[i][e])
		}
		for i := range t {
			t[i][e] = median(sizes)
		}
	}
	return t
}

// notable is the change of a resistance by a hidden arc that is worth a word.
const notable = 0.05

// addMisfits puts together what the circuit's not being quite the cell makes of each resistance of one spectrum.
func (g *group) addMisfits(r *Result, i int) {
	own := r.LogModelU
	g.misfits[i] = own
	for e := Ohmic; e < elementCount; e++ {
		r.LogModelU[e] = math.Sqrt(square(own[e]) + square(g.drifting.of(i, e)) + square(g.hidden.of(i, e)))
		if u := math.Hypot(r.Resistance(e).Relative(), g.hidden.of(i, e)); u > resolvedWithin {
			r.forget(e, because("unresolved-uncertain", fmt.Sprintf("the data leave it a relative standard uncertainty of %s", percent(u)), relative("uncertainty", u)))
		}
	}
	if o, a := math.Abs(g.hidden.of(i, Ohmic)), math.Abs(g.hidden.of(i, Polarisation)); max(o, a) > notable {
		r.Doubts = append(r.Doubts, Doubt{"second-arc-hidden", fmt.Sprintf("A second arc is called for but cannot be told from the first. With it the ohmic "+
			"resistance would differ by %s and the arcs together by %s, which is counted.", percent(o), percent(a)), []Fact{relative("ohmic", o), relative("arcs", a)}})
	}
}

func square(x float64) float64 { return x * x }
