package health

import "math"

// What no cell does by itself between two measurements: its resistances neither fall to less than half of the baseline at equal
// temperature nor grow tenfold at once (common practice: an end of life is set at about twice). A wrong unit, file or cell does.
const (
	impossiblyLow  = 0.5
	impossibleStep = 10
)

func seeOhmicImplausible(v *sight) []Fact          { return v.impossibleGrowth(ohmic) }
func seeChargeTransferImplausible(v *sight) []Fact { return v.impossibleGrowth(chargeTransfer) }

// impossibleGrowth looks at a growth beyond twice its standard uncertainty. It says nothing of one that is not had anyway.
func (v *sight) impossibleGrowth(r resistance) []Fact {
	if v.past == nil || v.past.growing == nil {
		return nothing
	}
	now := v.past.growing(v.past.index, r)
	if now.reason.says() {
		return nothing
	}
	facts := seen(uncertain("growth", now.value.Estimate(), now.value.StandardUncertainty(), One), word("file", v.row.File), word("ohmic", v.steadyOhmic(r)))
	log := math.Log(now.value.Estimate())
	if log+2*now.logU < math.Log(impossiblyLow) {
		return append(facts, word("how", "below"), number("least", impossiblyLow, One))
	}
	step := log - v.past.lastGrowth(r)
	if step > math.Log(impossibleStep) && step > 2*now.logU {
		return append(facts, word("how", "step"), number("step", math.Exp(step), One))
	}
	if fall, u := v.past.fall(r, log, now.logU); fall+2*u < math.Log(impossiblyLow) {
		return append(facts, word("how", "step"), number("step", math.Exp(fall), One))
	}
	return nothing
}

// steadyOhmic says of an arc that the ohmic resistance beside it is about what it was: a wrong unit changes both.
func (v *sight) steadyOhmic(r resistance) string {
	const about = 1.5
	beside := v.past.growing(v.past.index, ohmic)
	if g := beside.value; r == ohmic || beside.reason.says() || g.Estimate() > about || g.Estimate() < 1/about {
		return ""
	}
	return "steady"
}

// fall is the step of an arc, in logarithms, from the accepted measurement before, where nothing is said against that one, with
// its standard uncertainty; 0 where there is none. A cell's arc may shrink in its first cycles; it does not go back to half of
// what it was.
func (p *past) fall(r resistance, log, logU float64) (step, u float64) {
	for i := p.index - 1; i >= 0 && r == chargeTransfer; i-- {
		before, q := p.growing(i, r), p.Measurements[i].Quality
		if !q.Accepted || before.reason.says() || q.Has("step-alone") {
			continue
		}
		return log - math.Log(before.value.Estimate()), math.Hypot(logU, before.logU)
	}
	return 0, 0
}

// lastGrowth is the logarithm of the growth of the accepted measurement before; 0, that of the baseline itself, where there is none.
func (p *past) lastGrowth(r resistance) float64 {
	for i := p.index - 1; i >= 0; i-- {
		if before := p.growing(i, r); p.Measurements[i].Quality.Accepted && !before.reason.says() {
			return math.Log(before.value.Estimate())
		}
	}
	return 0
}
