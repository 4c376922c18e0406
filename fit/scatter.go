package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A result's own residuals say how far it would move with new noise. What else moves from one measurement to the next (the
// cell's temperature within its chamber, its rest, how it was charged) they do not know; neighbours in a history
// do. Where the arcs of neighbours scatter by more than their residuals say, the scatter is the uncertainty
// (Type A evaluation, JCGM 100:2008, 4.2). The ohmic resistance is left out: contacts move it, which is a finding.

const (
	sameTemperature = 0.2    // K by which neighbours may differ: about 1 % of a charge-transfer resistance
	leastRuns       = 3      // runs of four measurements before their scatter says anything
	seatedAnew      = 0.2    // of ln R: a step that is no scatter,
	mostSteps       = 0.25   // unless more than this share of the runs has one
	perDeviation    = 0.6745 // the normal distribution's upper quartile: median deviation over standard deviation
	// robustShare is the efficiency of the median deviation (Rousseeuw & Croux, J. Am. Stat. Assoc. 88 (1993) 1273), and
	// overlap by how much runs that share measurements count for less: 1 + 2Σρ² with ρ = −3/4, 3/10, −1/20.
	robustShare = 0.37
	overlap     = 2.31
)

// observed is ln R of one measurement of a history.
type observed struct{ log, day, temperature float64 }

// neighbourScatter is the robust standard deviation of single values of ln R about smooth growth, and from how many runs of four
// neighbours of one temperature: their third divided difference vanishes where they lie on a parabola. Growth may be smooth
// over the days or from one measurement to the next; the smaller scatter counts.
func neighbourScatter(history []observed) (scatter float64, runs int) {
	var byDay, byPlace []float64
	for i := 0; i+4 <= len(history); i++ {
		run := history[i : i+4]
		if !alike(run) {
			continue
		}
		days := make([]float64, len(run))
		for k, o := range run {
			days[k] = o.day
		}
		byDay = append(byDay, offSmooth(run, dividedDifference(days)))
		byPlace = append(byPlace, offSmooth(run, dividedDifference([]float64{0, 1, 2, 3})))
	}
	return min(deviation(byDay), deviation(byPlace)), len(byDay)
}

// alike reports whether the measurements are of one temperature.
func alike(run []observed) bool {
	least, most := math.Inf(1), math.Inf(-1)
	for _, o := range run {
		least, most = min(least, o.temperature), max(most, o.temperature)
	}
	return most-least <= sameTemperature
}

// offSmooth is the weighted sum of ln R, scaled to the variance of one value.
func offSmooth(run []observed, weights []float64) float64 {
	var sum, square float64
	for k, w := range weights {
		sum += w * run[k].log
		square += w * w
	}
	return math.Abs(sum) / math.Sqrt(square)
}

// deviation is a standard deviation from absolute deviations, a few steps aside; NaN of none.
func deviation(off []float64) float64 {
	var kept []float64
	for _, x := range off {
		if x < seatedAnew {
			kept = append(kept, x)
		}
	}
	if float64(len(off)-len(kept)) > mostSteps*float64(len(off)) {
		kept = off
	}
	return median(kept) / perDeviation
}

// dividedDifference is the weights of the divided difference over all abscissae (Abramowitz & Stegun, 25.1.11). Where
// they do not rise, places stand for days.
func dividedDifference(x []float64) []float64 {
	place := func(i int) float64 { return x[i] }
	for i := 1; i < len(x); i++ {
		if !(x[i] > x[i-1]) {
			place = func(i int) float64 { return float64(i) }
		}
	}
	w := make([]float64, len(x))
	for i := range w {
		w[i] = 1
		for j := range x {
			if j != i {
				w[i] /= (place(i) - place(j)) / (place(len(x)-1) - place(0))
			}
		}
	}
	return w
}

// widenByScatter adds to the uncertainties of a history's arcs what they scatter between neighbours beyond them.
func (h *History) widenByScatter(history []*trace) {
	for _, e := range []Element{Film, ChargeTransfer, Polarisation} {
		extra := h.extraScatter(e, history)
		if !(extra > 0) {
			continue
		}
		for _, r := range h.Results {
			r.LogScatter[e] = extra
			r.remember(e, math.Hypot(r.Resistance(e).Relative(), extra))
			if i, has := r.Intervals[e]; has {
				estimate := r.Parameters.resistance(e)
				below, above := math.Log(estimate/i.Lower), math.Log(i.Upper/estimate)
				r.Intervals[e] = Interval{estimate * math.Exp(-math.Hypot(below, normal95*extra)), estimate * math.Exp(math.Hypot(above, normal95*extra))}
			}
		}
	}
}

// extraScatter is by how much ln R scatters beyond the stated uncertainties, 0 where chance alone may do so.
func (h *History) extraScatter(e Element, history []*trace) float64 {
	var known []observed
	var stated []float64
	for i, r := range h.Results {
		if v, m := r.Resistance(e), history[i].measured; v.Known() {
			known, stated = append(known, observed{math.Log(v.Estimate()), m.Day, m.TemperatureC}), append(stated, v.Relative())
		}
	}
	scatter, runs := neighbourScatter(known)
	if runs < leastRuns {
		return 0
	}
	u, free := median(stated), robustShare*float64(runs)/overlap
	if scatter*scatter <= u*u*(distuv.ChiSquared{K: free}).Quantile(1-hardly)/free {
		return 0
	}
	return math.Sqrt(scatter*scatter - u*u)
}

// hardly is the probability with which chance alone may widen a history's uncertainties.
const hardly = 0.01
