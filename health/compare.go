package health

import (
	"math"

	"ohmledger/fit"
)

// Comparison is two measurements of one cell side by side: B against A.
type Comparison struct {
	A, B Measurement
	// Comparable is false where the two share too few frequencies or are of two sizes; then only A and B say anything.
	Comparable bool

	Shift      fit.Value // ohm, along the real axis
	ShiftShare float64   // of A's ohmic resistance, 1
	ArcGrowth  fit.Value // of the resistance of all arcs, 1; unknown where one of the two shows none
	Slowing    fit.Value // of the arcs, change of the logarithm of their time constants, 1; unknown likewise
	Left       float64   // what these leave unexplained, rms per part, of |Z|, 1

	NoiseA, NoiseB           float64 // standard deviation of a part, of |Z|, 1; 0: not known
	InductanceA, InductanceB float64 // henry; 0: none

	Differences []Finding // what they differ in and what that most likely is, the most telling first; one at least
}

// Compare checks two measurements of one cell and says in what they differ. Inputs of the evidence are not looked at.
func Compare(e Evidence, a, b Input) Comparison {
	g := e.grounds()
	one, two := g.single(a.unnamed()), g.single(b.unnamed())
	g.fitPair(one, two)
	c := Comparison{A: one.Measurements[0], B: two.Measurements[0]}
	c.NoiseA, c.NoiseB = c.A.noiseOf(), c.B.noiseOf()
	c.InductanceA, c.InductanceB = inductanceOf(c.A.Fit), inductanceOf(c.B.Fit)
	c.measure()
	for _, check := range contrasts {
		if facts := check.see(&c); facts != nil {
			message, advice := g.say.sentences("compare."+check.code, facts)
			c.Differences = append(c.Differences, Finding{Code: check.code, Severity: Note, Message: message, Advice: advice, Facts: facts})
		}
		if len(c.Differences) > 0 && (c.same() || c.apart() >= otherUnit) {
			break // there is nothing else to say
		}
	}
	return c
}

// fitPair fits both as one history, so that their arcs are of one kind.
func (g grounds) fitPair(one, two *specimen) {
	a, b := &one.Measurements[0], &two.Measurements[0]
	h := fit.Cell([]fit.Measured{measured(a, g.job.Instrument), measured(b, g.job.Instrument)})
	a.Fit, b.Fit = g.say.worded(h.Results[0]), g.say.worded(h.Results[1])
	g.inspect(a, onFit, nil, nil)
	g.inspect(b, onFit, nil, nil)
}

// linearArc is how far arcs may grow for the linear difference to hold.
const linearArc = 0.15

// measure finds shift and change of arc: of curves of nearly one shape from their difference, which what the circuit leaves
// over does not touch; else from the two fits.
func (c *Comparison) measure() {
	d, ok := differ(&c.A, &c.B)
	if c.Comparable = ok && c.apart() < otherUnit; !c.Comparable {
		return
	}
	c.Shift, c.ArcGrowth, c.Slowing, c.Left = d.shift, d.arc, d.slowing, d.rms
	a, b := c.A.Fit, c.B.Fit
	if far := math.Abs(d.arc.Estimate()) > linearArc || math.Abs(d.slowing.Estimate()) > linearArc; far && a.Ohmic.Known() && b.Ohmic.Known() {
		c.Shift, _ = finite(b.Ohmic.Estimate()-a.Ohmic.Estimate(), math.Hypot(a.Ohmic.StandardUncertainty(), b.Ohmic.StandardUncertainty()))
		c.ArcGrowth, c.Slowing = fit.Value{}, changeOf(a.ChargeTransferTimeConstant, b.ChargeTransferTimeConstant, math.Log)
		c.ArcGrowth = changeOf(a.Polarisation, b.Polarisation, func(ratio float64) float64 { return ratio - 1 })
	}
	if d.ohmic > 0 {
		c.ShiftShare = c.Shift.Estimate() / d.ohmic
	}
}

// changeOf is a function of b/a that is nearly linear at 1.
func changeOf(a, b fit.Value, of func(ratio float64) float64) (v fit.Value) {
	if !a.Known() || !b.Known() || !(a.Estimate() > 0) || !(b.Estimate() > 0) {
		return v
	}
	ratio := b.Estimate() / a.Estimate()
	v, _ = finite(of(ratio), ratio*math.Hypot(a.Relative(), b.Relative()))
	return v
}
