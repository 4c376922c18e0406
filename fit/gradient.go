package fit

import "math"

// gradient of the logarithm of something with respect to a spectrum's coordinates, in their order.
type gradient []float64

// gradients of ln R for the circuit's elements; nil where the structure lacks the element.
func (l layout) gradient(e Element, p Parameters) gradient {
	switch e {
	case Ohmic:
		return l.unit(slotOhmic, 1)
	case Film:
		return l.unit(slotFilm, 1)
	case ChargeTransfer:
		return l.unit(slotTransfer, 1)
	}
	all := p.Film + p.ChargeTransfer
	g := l.unit(slotTransfer, p.ChargeTransfer/all)
	if l.film {
		g[l.place(slotFilm)] = p.Film / all
	}
	return g
}

// place is where a slot stands among a spectrum's coordinates, −1 where it does not.
func (l layout) place(slot int) int {
	for i, s := range l.sizes {
		if s == slot {
			return i
		}
	}
	for i, s := range l.exponents {
		if s == slot {
			return len(l.sizes) + i
		}
	}
	return -1
}

// unit is the gradient of factor times one coordinate; nil where the structure lacks it.
func (l layout) unit(slot int, factor float64) gradient {
	at := l.place(slot)
	if at < 0 {
		return nil
	}
	g := make(gradient, len(l.sizes)+len(l.exponents))
	g[at] = factor
	return g
}

// variance is gᵀ·C·h.
func (g gradient) variance(c []float64, h gradient) float64 { return quadratic(g, c, h) }

// logValue makes a value of an estimate whose logarithm has gradient g; unknown where that has no finite variance.
func logValue(estimate float64, g gradient, c []float64) Value {
	if g == nil {
		return Value{}
	}
	u := estimate * math.Sqrt(g.variance(c, g))
	if math.IsNaN(u) || math.IsInf(u, 0) {
		return Value{}
	}
	return NewValue(estimate, u)
}

// exponentValue makes a value of a bounded exponent. A pinned one has no uncertainty of its own and stays unknown.
func (l layout) exponentValue(slot int, estimate float64, c []float64) Value {
	g := l.unit(slot, exponentBounds[slot].slope(estimate))
	if g == nil {
		return Value{}
	}
	u := math.Sqrt(g.variance(c, g))
	if math.IsNaN(u) || math.IsInf(u, 0) {
		return Value{}
	}
	return NewValue(estimate, u)
}
