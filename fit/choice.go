package fit

import (
	"fmt"
	"math"
	"math/cmplx"
)

// oneArc and twoArcs are the structures that a history is fitted with.
var (
	oneArc  = structure{lead: true, diffusion: true}
	twoArcs = structure{lead: true, film: true, diffusion: true}
)

// candidate is a structure fitted to all traces, with what is needed to choose and to describe.
type candidate struct {
	task    *task
	traces  []*trace
	doubt   *uncertainty
	settled bool
	hidden  hidden // what a second arc would change; nil where none is called for

	typical, inflate float64 // of its task, for what it leads
}

// begin fits a structure as far as telling it from others takes; settle and finish take it further.
func begin(s structure, traces []*trace) candidate {
	own := make([]*trace, len(traces))
	for i, t := range traces {
		own[i] = t.clone()
	}
	return candidate{task: startStructure(s, own), traces: own}
}

func (c candidate) settle() candidate {
	if !c.settled {
		c.task.settle(c.traces)
		c.settled = true
	}
	return c
}

func (c candidate) finish() candidate {
	c = c.settle()
	c.task.temper()
	c.doubt = c.task.assess()
	return c
}

func newCandidate(s structure, traces []*trace) candidate { return begin(s, traces).finish() }

// nearlyOne is the mean square residual of a rough fit that the end of the fit may bring down to 1, and
// plainEvidence and hopelessEvidence the evidence for a second arc that the end of the fit cannot turn.
const (
	nearlyOne        = 1.5
	plainEvidence    = 30
	hopelessEvidence = -4
)

// choose takes two arcs where a second arc is needed to describe the spectra and both arcs are resolved in
// most of them; else one. It says why.
func choose(traces []*trace) (candidate, Statement) {
	one := begin(oneArc, traces)
	if one.typicalChiSquare() <= nearlyOne {
		one = one.settle()
	}
	if one.typicalChiSquare() <= 1 {
		before := one.task.typicalRMS()
		return one.finish(), because("arcs-one-within-instrument",
			fmt.Sprintf("one arc: it leaves %s of |Z|, which is within the instrument's stated uncertainty", misfit(before)), fraction("misfit", before))
	}
	two := begin(twoArcs, traces)
	if evidence(one.task, two.task) > hopelessEvidence {
		two = two.settle()
	}
	gain := evidence(one.task, two.task)
	if gain < plainEvidence {
		one = one.settle() // a rough fit flatters the other
		gain = evidence(one.task, two.task)
	}
	if gain > hopelessEvidence {
		two = two.settle()
		gain = evidence(one.task, two.task)
	}
	before, after := one.task.typicalRMS(), two.task.typicalRMS()
	if !(gain > 0) {
		return one.finish(), because("arcs-one-enough",
			fmt.Sprintf("one arc: it leaves %s of |Z|, and a second arc is not called for", misfit(before)), fraction("misfit", before))
	}
	two = two.finish()
	facts := []Fact{fraction("misfit", before), fraction("with_second", after)}
	if why := two.unresolved(); why.Code != "" {
		one = one.finish()
		one.hidden = hiddenBy(one.task, two.task, gain)
		return one, because("arcs-one-second-unresolved",
			fmt.Sprintf("one arc: a second arc would lower the misfit from %s to %s of |Z|, but %s", misfit(before), misfit(after), why.Text),
			append(facts, within("why", why))...)
	}
	return two, because("arcs-two",
		fmt.Sprintf("two arcs: the second lowers the misfit from %s to %s of |Z|, and both are resolved", misfit(before), misfit(after)), facts...)
}

func misfit(fraction float64) string { return fmt.Sprintf("%.2g %%", 100*fraction) }

// typicalChiSquare is the median over the spectra of the mean square residual in units of the instrument's
// stated standard uncertainty: at most 1 where the instrument could not tell the circuit from the cell.
func (c candidate) typicalChiSquare() float64 {
	chi := make([]float64, len(c.traces))
	for i, t := range c.traces {
		var sum float64
		for k, r := range c.task.complexResiduals(i) {
			size := cmplx.Abs(t.sheet.points[k].z)
			noise := math.Hypot(t.measured.RelativeNoise, t.measured.AbsoluteNoiseOhm/size)
			sum += (real(r)*real(r) + imag(r)*imag(r)) / (noise * noise)
		}
		chi[i] = sum / math.Max(1, float64(2*len(t.sheet.points)-c.task.layout.local()))
	}
	return median(chi)
}

// noMisfit is the rms residual below which there is nothing left for a second arc to explain.
const noMisfit = 1e-7

// evidence is the Bayesian information criterion's verdict on a second arc, in the median spectrum:
// N·ln(SS₁/SS₂) − k·ln N with k = 3 parameters more (Schwarz, Ann. Statist. 6 (1978) 461). N counts
// independent residuals only, so that a misfit that merely bends does not buy an arc for every bend.
func evidence(one, two *task) float64 {
	if one.inflation() == 0 || len(one.sheets) == 0 {
		return math.NaN()
	}
	dependent := one.inflation() * one.inflation()
	gains := make([]float64, len(one.sheets))
	for i := range gains {
		n := math.Max(2, 2*float64(len(one.sheets[i].points))/dependent)
		r1, r2 := one.rms(i), math.Max(two.rms(i), leastSigma)
		if r1 > noMisfit {
			gains[i] = 2*n*math.Log(r1/r2) - 3*math.Log(n)
		}
	}
	return median(gains)
}

// mostOf is how many of a history's spectra must show both arcs resolved.
const mostOf = 0.5

// unresolved says why two arcs cannot be told apart, or nothing where they can.
func (c candidate) unresolved() Statement {
	if c.doubt == nil {
		return because("second-arc-without-uncertainty", "no uncertainty can be computed for it")
	}
	for _, e := range []Element{Film, ChargeTransfer} {
		u := make([]float64, len(c.traces))
		for i := range u {
			x := c.task.at(i)
			p := c.task.parameters(&x)
			g := c.task.gradient(e, p)
			u[i] = math.Sqrt(g.variance(c.doubt.between(i, i, true), g) + g.variance(c.doubt.between(i, i, false), g))
			if !c.task.ordered(i) {
				u[i] = math.Inf(1)
			}
		}
		if typical := quantile(u, mostOf); !(typical <= resolvedWithin) {
			return because("second-arc-uncertain", fmt.Sprintf("the %s would be uncertain by %s", e, percent(typical)),
				name("resistance", e.Key()), relative("uncertainty", typical))
		}
	}
	return Statement{}
}

func (t *trace) clone() *trace {
	c := *t
	s := *t.sheet
	c.sheet = &s
	c.excluded = append([]Exclusion(nil), t.excluded...)
	return &c
}
