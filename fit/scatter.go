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
	seatedAnew      = 0.2    // of ln R: a step that is no scatter
	perDeviation    = 0.6745 // the normal distribution's upper quartile: median deviation over standard deviation
	// robustShare is the efficiency of the median deviation (Rousseeuw & Croux, J. Am. Stat. Assoc. 88 (1993) 1273), and
	// overlap by how much runs that share measurements count for less: 1 + 2Σρ² with ρ = −3/4, 3/10, −1/20.
	robustShare = 0.37
	overlap     = 2.31
)

// neighbourScatter is the robust standard deviation of single values of ln R about smooth growth over the days, and from
// how many runs of four neighbours: their third divided difference vanishes where they lie on a parabola.
func neighbourScatter(logs, days []float64) (scatter float64, runs int) {
	var d []float64
	for i := 0; i+4 <= len(logs); i++ {
		var sum, square float64
		for k, w := range dividedDifference(days[i : i+4]) {
			sum += w * logs[i+k]
			square += w * w
		}
		if x := math.Abs(sum) / math.Sqrt(square); x < seatedAnew {
			d = append(d, x)
		}
	}
	return median(d) / perDeviation, len(d)
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
		}
	}
}

// extraScatter is by how much ln R scatters beyond the stated uncertainties, 0 where chance alone may do so.
func (h *History) extraScatter(e Element, history []*trace) float64 {
	var logs, stated, days []float64
	for i, r := range h.Results {
		m := history[i].measured
		if v := r.Resistance(e); v.Known() && math.Abs(m.TemperatureC-history[0].measured.TemperatureC) <= sameTemperature {
			logs, stated, days = append(logs, math.Log(v.Estimate())), append(stated, v.Relative()), append(days, m.Day)
		}
	}
	scatter, runs := neighbourScatter(logs, days)
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
