package health

import (
	"math"
	"math/cmplx"

	"ohmledger/fit/kramerskronig"
)

// Limits of the Kramers–Kronig test. Most published battery spectra stay under 1 % (common practice); clean
// measurements of real cells must never be rejected, so only what no cell does is.
const (
	doubtfulRMS   = 0.005 // with residuals that are structured
	noisy         = 0.01  // standard deviation of a part, of |Z|, over the whole band
	mostOfOne     = 0.6   // of the sum of squares of a decade that is noise
	loudDecade    = 4     // times the middle one of all decades
	noisyDecade   = 0.02  // the same over one decade
	driftMatters  = 0.03  // growth of |Z| during the sweep
	driftShare    = 0.4   // of the residuals' squares that the drift alone explains; a wobble of the lowest points explains less
	wobble        = 1.6   // times a middling decade's residuals, from which the lowest decade shows more than a drift
	largeDrift    = 0.08  // from which
	largeShare    = 0.2   // of them is enough; so it is where nothing but the drift is seen
	strayPoint    = 0.02  // error of a point inside the band
	denseEnds     = 5.5   // points a decade, from which a parabola through three of them meets the next
	noisyStrays   = 3     // stray points of one decade from which it is noise
	strayEnd      = 0.05  // of one at its end
	sure          = 5     // standard uncertainties: residuals are structured, so that three would not do
	violatedRMS   = 0.05
	flippedRMS    = 0.015  // where the imaginary part changes sign for no reason as well
	reversedShare = 1. / 3 // of the residuals that turning the sign leaves, at most
	structured    = -2.6   // runs test, standard score: one in 200 by chance (NIST/SEMATECH e-Handbook 1.3.5.13)
)

func seeUntested(v *sight) []Fact {
	if v.kk != nil {
		return nothing
	}
	n, decades := len(v.spectrum.Frequency), 0.0
	if n > 0 {
		decades = math.Log10(v.spectrum.Frequency[0] / v.spectrum.Frequency[n-1])
	}
	return seen(count("points", n), number("decades", decades, One), count("needed", kramerskronig.FewestPoints))
}

func (v *sight) signReversed() bool {
	return v.kk != nil && v.kk.RMSResidual > violatedRMS && v.kk.ReversedRMS < reversedShare*v.kk.RMSResidual
}

func seeSignReversed(v *sight) []Fact {
	if !v.signReversed() {
		return nothing
	}
	return seen(number("rms", v.kk.RMSResidual, Fraction), number("reversed", v.kk.ReversedRMS, Fraction))
}

func (v *sight) violated() bool {
	if v.kk == nil || v.kk.RMSResidual <= flippedRMS {
		return false
	}
	flips, _ := v.flips()
	return v.kk.RMSResidual > violatedRMS || flips > 0
}

func seeViolated(v *sight) []Fact {
	if !v.violated() || v.signReversed() {
		return nothing
	}
	facts := append(v.residualFacts(), word("shape", v.shape()), number("drift", v.kk.Drift.Change, Fraction))
	j, _ := v.jump()
	if j == nil {
		j = &kramerskronig.Jump{Index: 1}
	}
	flips, flipped := v.flips()
	return append(facts, v.jumpFacts(j)[0], number("jump", j.Change, Fraction), count("flips", flips), number("flipped", flipped, Hertz))
}

// residualFacts are how large the residuals are and where most.
func (v *sight) residualFacts() []Fact {
	return seen(number("rms", v.kk.RMSResidual, Fraction), number("most", v.kk.MaxResidual, Fraction),
		number("at", v.spectrum.Frequency[v.kk.MaxIndex], Hertz))
}

// shape says what most of a violation is: a drift, some points, or the whole band.
func (v *sight) shape() string {
	flips, _ := v.flips()
	switch {
	case flips > 0:
		return "flip"
	case v.leaps():
		return "jump"
	case v.kk.Drift.Share > 0.5:
		return "drift"
	case v.strayShare() > 0.5:
		return "points"
	}
	return "band"
}

// strayShare is the part of the residuals' squares that belongs to single points.
func (v *sight) strayShare() (share float64) {
	for _, o := range v.kk.Outliers {
		share += o.Share
	}
	return min(share, 1)
}

// drifted reports whether the residuals show a cell that changed during the sweep, and not at once.
func (v *sight) drifted() bool {
	return v.drifting() && !v.leaps()
}

// drifting reports whether a steady change during the sweep explains the residuals. Two readings of one frequency that
// disagree have a reason of their own.
func (v *sight) drifting() bool {
	if v.kk == nil || v.violated() {
		return false
	}
	d, least := v.kk.Drift, driftShare
	if math.Abs(d.Change) > largeDrift || v.beyondDrift() < wobble {
		least = largeShare
	}
	_, apart, _ := doubled(v.spectrum)
	return math.Abs(d.Change) > max(driftMatters, sure*d.StandardUncertainty) && d.Share > least && apart <= doubledApart
}

// beyondDrift is how large the residuals of the lowest decade are without what the drift explains, over those of a middling decade.
func (v *sight) beyondDrift() float64 {
	decades := v.kk.Decades
	last := decades[len(decades)-1]
	n, sizes := 0, make([]float64, len(decades))
	for _, f := range v.spectrum.Frequency {
		if f <= last.FromHz {
			n++
		}
	}
	for i, d := range decades {
		sizes[i] = d.RMSResidual
	}
	all := v.kk.Drift.Share * v.kk.RMSResidual * v.kk.RMSResidual * float64(len(v.spectrum.Frequency))
	rest := last.RMSResidual*last.RMSResidual - all/float64(n)
	return math.Sqrt(max(rest, 0)) / max(typical(sizes), math.SmallestNonzeroFloat32)
}

func seeDrift(v *sight) []Fact {
	if !v.drifted() {
		return nothing
	}
	d, n := v.kk.Drift, len(v.spectrum.Frequency)
	return seen(uncertain("change", d.Change, d.StandardUncertainty, Fraction), number("lowest", v.spectrum.Frequency[n-1], Hertz))
}

// seeDoubtful speaks of residuals that are structured over the band, where nothing simpler explains them.
func seeDoubtful(v *sight) []Fact {
	if v.kk == nil || v.violated() || v.kk.RMSResidual <= doubtfulRMS || v.kk.RunsZ >= structured || v.leaps() || v.drifted() || len(v.strays()) > 0 || v.noisyStretch() != nil {
		return nothing
	}
	from, to := v.worstStretch()
	return append(v.residualFacts(), number("from", from, Hertz), number("to", to, Hertz))
}

// worstStretch is the stretch about the worst decade over which residuals are half of its own at least.
func (v *sight) worstStretch() (fromHz, toHz float64) {
	decades := v.kk.Decades
	first := 0
	for i, d := range decades {
		if d.RMSResidual > decades[first].RMSResidual {
			first = i
		}
	}
	last, least := first, decades[first].RMSResidual/2
	for first > 0 && decades[first-1].RMSResidual >= least {
		first--
	}
	for last < len(decades)-1 && decades[last+1].RMSResidual >= least {
		last++
	}
	return decades[first].FromHz, decades[last].ToHz
}

// A loop is seen where the curve turns back by more than noise and more than a share of |Z| (common practice).
const loopShare = 0.01

// seeLoop finds a curve that turns back toward lower frequency, or ends below the real axis, after its capacitive part.
func seeLoop(v *sight) []Fact {
	if v.kk == nil || v.signReversed() || v.violated() {
		return nothing
	}
	z, f := v.spectrum.Impedance, v.spectrum.Frequency
	n := len(z)
	top := 0
	for i := range z {
		if imag(z[i]) < imag(z[top]) {
			top = i
		}
	}
	least := max(loopShare, sure*v.noise()) * cmplx.Abs(z[n-1])
	if -imag(z[top]) < least || top > n-3 {
		return nothing
	}
	furthest := top
	for i := top; i < n; i++ {
		if real(z[i]) > real(z[furthest]) {
			furthest = i
		}
	}
	back, below := real(z[furthest])-real(z[n-1]), min(imag(z[n-1]), imag(z[n-2]))
	if back < least && below < least || furthest > n-3 && below < least {
		return nothing
	}
	return seen(number("back", max(back, 0), Ohm), number("below", max(below, 0), Ohm), number("from", f[furthest], Hertz), number("to", f[n-1], Hertz))
}
