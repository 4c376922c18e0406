package report

import (
	"ohmledger/fit"
	"ohmledger/report/notation"
)

// fittedResistances in the order in which outputs show them.
var fittedResistances = [...]fit.Element{fit.Ohmic, fit.Film, fit.ChargeTransfer, fit.Polarisation}

// FitIntervals are sentences about the 95 % intervals of resistances whose uncertainty is too large for a symmetric one; none where
// the fit has none.
func FitIntervals(w *Words, r *fit.Result) (sentences []string) {
	for _, e := range fittedResistances {
		i, has := r.Intervals[e]
		if v := r.Resistance(e); has && v.Known() {
			scale := notation.Ohm.Scale(v)
			sentences = append(sentences, w.Say("fit.interval-95", struct{ Resistance, Interval string }{
				w.Element(e), notation.WithUnit(w.Notation().Interval(i.Lower, i.Upper, v.StandardUncertainty(), scale), scale)}))
		}
	}
	return sentences
}
