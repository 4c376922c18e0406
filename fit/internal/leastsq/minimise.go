package leastsq

import "math"

const (
	// sufficient is the share of the predicted fall that a step must bring (Moré 1978, 4.5).
	sufficient = 1e-4
	// mostDamping is the λ at which a step is nothing but rounding.
	mostDamping = 1e15
	// straight is how near to 1 the ratio of a fall to that predicted is where the model hardly bends, so that
	// measuring its curvature is not worth an evaluation.
	straight = 0.25
	// resolved is the change of the cost, against the cost, that rounding lets be seen, and blind the number of
	// steps taken below it before the iteration ends.
	resolved, blind = 1e-13, 3
	// nearBy is the fall of a free step, against the cost, that counts as none where rounding hides it.
	nearBy = 1e-8
	// exact is the cost against that of the start at which only rounding is left.
	exact = 1e-28
)

// descent is where an iteration stands.
type descent struct {
	cost, first     float64 // Σ residual² now and at the start
	damping, raiser float64
	curved          bool // the last step fell short of, or beyond, what was predicted
	unseen          int  // steps in turn whose fall was below rounding
}

// Minimise changes local (one slice a block) and shared in place to a least sum of squares near where
// they start: Levenberg–Marquardt with the columns scaled as Moré (Lecture Notes in Mathematics 630 (1978) 105) does,
// the damping steered by the gain ratio as Nielsen (IMM-REP-1999-05) does, each step by QR of the damped Jacobian
// and bent along the curvature of the model as Transtrum and Sethna (arXiv:1201.5885) do.
func (s *Solver) Minimise(local [][]float64, shared []float64, settings Settings) Solution {
	set := settings.filled()
	cost, ok := s.residuals(local, shared)
	if !ok {
		return Solution{Status: NotComputable}
	}
	s.resetScale()
	d := descent{cost: cost, first: cost, damping: set.FirstDamping, raiser: 2}
	for n := 1; n <= set.MaxIterations; n++ {
		if !s.linearise(local, shared) {
			return Solution{NotComputable, n, d.cost}
		}
		if status := s.advance(&d, local, shared, set); status != 0 {
			return Solution{status, n, d.cost}
		}
	}
	return Solution{TooManySteps, set.MaxIterations, d.cost}
}

// advance makes the one step that lowers the cost, with as much damping as that takes. It returns 0 where the
// iteration goes on.
func (s *Solver) advance(d *descent, local [][]float64, shared []float64, set Settings) Status {
	if d.cost <= exact*d.first {
		return Converged
	}
	if d.unseen > blind {
		if s.settled(d, local, shared, nearBy, set) {
			return Converged
		}
		return Stalled
	}
	for ; d.damping <= mostDamping; d.raise() {
		predicted := s.solve(d.damping)
		if math.IsNaN(predicted) {
			return NotComputable // the Jacobian is not finite
		}
		if predicted <= set.RelativeCost*d.cost || s.stepIsSmall(local, shared, set.RelativeStep) {
			if s.settled(d, local, shared, set.RelativeCost, set) {
				return Converged
			}
			predicted = s.solve(d.damping)
		}
		if d.curved && predicted > resolved*d.cost && !s.bend(local, shared) {
			continue
		}
		trial, ok := s.try(local, shared, 1)
		if !ok || !d.lowered(trial, predicted, set.LeastDamping) {
			continue
		}
		s.accept(local, shared)
		return 0
	}
	return Stalled
}

// settled says whether even a free step promises no more than the given fall against the cost. It takes that step
// where it does no harm: what it gains is below the rounding of the cost, but not of the parameters.
func (s *Solver) settled(d *descent, local [][]float64, shared []float64, promise float64, set Settings) bool {
	predicted := s.solve(set.LeastDamping)
	if predicted > promise*d.cost && !s.stepIsSmall(local, shared, set.RelativeStep) {
		return false
	}
	if trial, ok := s.try(local, shared, 1); ok && trial <= d.cost*(1+resolved) {
		d.cost = trial
		s.accept(local, shared)
	}
	return true
}

// lowered takes the cost after a step, and less damping for the next, where it fell as far as it should or where the
// fall predicted is too small to be seen.
func (d *descent) lowered(cost, predicted, leastDamping float64) bool {
	fall := d.cost - cost
	gain := fall / predicted
	switch {
	case fall > 0 && gain >= sufficient:
		d.unseen = 0
	case predicted <= resolved*d.cost && -fall <= resolved*d.cost:
		d.unseen++
		gain = 1
		d.damping *= 1e-3 // so near the minimum a free step is best
	default:
		return false
	}
	odd := 2*gain - 1
	d.cost, d.raiser = cost, 2
	d.damping = max(leastDamping, d.damping*max(1.0/3, 1-odd*odd*odd))
	d.curved = math.Abs(gain-1) > straight
	return true
}

// raise follows a step that did not lower the cost.
func (d *descent) raise() {
	d.damping *= d.raiser
	d.raiser *= 2
	d.curved = true
}
