package health

import (
	"math"

	"ohmledger/fit/kramerskronig"
)

const (
	jumpMatters = 0.02 // of |Z|, from which one is mentioned (common practice: a steady contact repeats within 1 %)
	jumpSpoils  = 0.05 // from which what is fitted on both sides of it is no property of the cell
	jumpShare   = 0.6  // of the residuals' squares that jumps explain, if a jump is what is wrong
	jumpLeaves  = 0.02 // r.m.s. that may be left without jumps: of a spectrum that scatters anyway a jump says nothing
	jumpMost    = 1    // of |Z|: more is no contact and no range
	jumpTies    = 0.97 // of what another cause explains, from which the simpler of the two is taken
	jumpAlone   = 0.85 // that one jump explains, or two there and back, so that nothing else has to be asked for
)

// jump is the largest of the points at which the sweep does not go on as it was, and the number of them; nil where none matters or
// something else explains the residuals.
func (v *sight) jump() (largest *kramerskronig.Jump, number int) {
	if v.kk == nil || v.signReversed() || !v.jumps() {
		return nil, 0
	}
	for i := range v.kk.Jumps {
		j := &v.kk.Jumps[i]
		if math.Abs(j.Change) < jumpMatters || math.Abs(j.Change) < sure*j.StandardUncertainty {
			continue
		}
		number++
		if largest == nil || math.Abs(j.Change) > math.Abs(largest.Change) {
			largest = j
		}
	}
	return largest, number
}

// jumps reports whether jumps explain the residuals, and better than what else may: a drift, single points, pick-up of the mains. A curve
// that bends smoothly is a staircase to the search for jumps, which then finds one after the other.
func (v *sight) jumps() bool {
	jumps := v.kk.Jumps
	if len(jumps) == 0 || math.Abs(jumps[0].Change) > jumpMost || v.kk.RMSResidual*math.Sqrt(1-v.jumpsShare()) > jumpLeaves || v.pointsExplainMore() {
		return false
	}
	if jumps[0].Share >= jumpAlone {
		return true
	}
	there := len(jumps) > 1 && jumps[0].Share+jumps[1].Share >= jumpAlone && jumps[0].Change*jumps[1].Change < 0 // and back
	return (there || len(jumps) < kramerskronig.MostJumps) && !v.drifting() && !v.hums()
}

// pointsExplainMore reports whether single points explain the residuals better than jumps do. One point stands for itself and its
// way there and back; one jump may take several points to imitate.
func (v *sight) pointsExplainMore() bool {
	strays, one := v.strayShare(), v.kk.Jumps[0].Share
	switch out := v.kk.Outliers; {
	case len(out) > 0 && len(v.kk.Jumps) > 1 && out[0].Share >= jumpTies*v.jumpsShare():
		return true
	case len(out) > 1 && one >= jumpAlone && one >= jumpTies*strays:
		return false
	}
	return v.jumpsShare() < max(jumpShare, strays)
}

// hums reports whether the point that stands out most is one that mains explain.
func (v *sight) hums() bool {
	return len(v.kk.Outliers) > 0 && v.harmonic(v.spectrum.Frequency[v.kk.Outliers[0].Index]) > 0
}

// jumpsShare is the part of the residuals' squares that belongs to jumps.
func (v *sight) jumpsShare() (share float64) {
	for _, j := range v.kk.Jumps {
		share += j.Share
	}
	return min(share, 1)
}

// leaps reports whether the sweep does not go on as it was.
func (v *sight) leaps() bool {
	j, _ := v.jump()
	return j != nil
}

func seeJump(v *sight) []Fact      { return v.jumped(jumpSpoils, math.Inf(1)) }
func seeJumpSmall(v *sight) []Fact { return v.jumped(0, jumpSpoils) }

// jumped states a jump of a size.
func (v *sight) jumped(from, below float64) []Fact {
	j, number := v.jump()
	if j == nil || math.Abs(j.Change) < from || math.Abs(j.Change) >= below || v.violated() {
		return nothing
	}
	return append(v.jumpFacts(j), count("jumps", number))
}

// jumpFacts say between which frequencies a jump lies and how large it is.
func (v *sight) jumpFacts(j *kramerskronig.Jump) []Fact {
	f := v.spectrum.Frequency
	return seen(number("above", f[j.Index-1], Hertz), number("at", f[j.Index], Hertz), uncertain("change", j.Change, j.StandardUncertainty, Fraction))
}
