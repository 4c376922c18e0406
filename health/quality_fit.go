package health

import (
	"math"
	"math/cmplx"
	"slices"

	"ohmledger/fit"
)

const (
	// straightLead is the inductance of one metre of straight round wire of 1 mm: 0.2·l·(ln(4l/d) − ¾ + …) µH
	// (Rosa, Bulletin of the Bureau of Standards 4 (1908) 301; 1.51 µH at d.c., 1.46 µH with skin effect).
	straightLead = 1.5e-6 // H/m
	// twistedLead is that of a twisted pair, there and back, of common hook-up wire (from memory: 0.5 to 0.7 µH/m).
	twistedLead = 0.6e-6 // H/m

	inductive1kHz   = 0.02 // of |Z| at 1 kHz, beyond its real part
	openShare       = 0.05 // relative standard uncertainty of an arc that is read well enough
	farBelow        = 30   // times lower than the arc's top a sweep may end without its lower end mattering
	arcShare        = 0.05 // of an arc's resistance: a reactance of leads that bends the arc
	idealExponent   = 0.9  // of leads, below which they lose: straight and twisted pairs away from metal stay above (from memory)
	fewestInductive = 4    // points above the real axis from which the branch has a shape
	leadsRule       = 0.3  // of the ohmic resistance, the reactance at the top of the band from which leads rule there
	lossShare       = 0.1  // of the ohmic resistance that the leads' losses add at the top of the band
)

func (v *sight) fitted() bool {
	switch v.fit.Status {
	case fit.Converged, fit.TooManySteps, fit.Stalled:
		return true
	}
	return false
}

// seeNoResistance finds a spectrum of which there is nothing to judge by.
func seeNoResistance(v *sight) []Fact {
	_, _, at1kHz := v.at1kHz()
	if !v.fitted() || v.fit.Ohmic.Known() || v.fit.Polarisation.Known() || at1kHz || len(v.spectrum.Frequency) == 0 {
		return nothing
	}
	n := len(v.spectrum.Frequency)
	return seen(number("from", v.spectrum.Frequency[0], Hertz), number("to", v.spectrum.Frequency[n-1], Hertz), within("why", unresolved(v.fit, fit.Ohmic)))
}

// doubted reports whether the fit itself has a doubt of a code.
func (v *sight) doubted(code string) bool {
	return slices.ContainsFunc(v.fit.Doubts, func(d fit.Doubt) bool { return d.Code == code })
}

func seeFitImpossible(v *sight) []Fact {
	if v.fitted() {
		return nothing
	}
	return seen(count("points", len(v.spectrum.Frequency)), count("impossible", len(impossible(v.spectrum))), within("status", ofFit(v.fit.Status.Statement())))
}

func seeNotConverged(v *sight) []Fact {
	if !v.fitted() || v.fit.Status == fit.Converged || seeConstant(v) != nil {
		return nothing
	}
	return seen(within("status", ofFit(v.fit.Status.Statement())), number("rms", v.fit.RMSResidual, Fraction))
}

func seeArcUnresolved(v *sight) []Fact {
	own := v.ownFit()
	if v.fit.Status != fit.Converged || v.fit.Polarisation.Known() && own.Polarisation.Known() || v.violated() || len(v.spectrum.Frequency) == 0 {
		return nothing
	}
	if seeNoResistance(v) != nil {
		return nothing
	}
	n, cause, other := len(v.spectrum.Frequency), v.arcless(), ""
	if own.Polarisation.Known() {
		cause, other, own = "history", v.spoiler(), v.fit
	}
	serves := ""
	if own.Ohmic.Known() {
		serves = "ohmic"
	}
	return seen(number("from", v.spectrum.Frequency[0], Hertz), number("to", v.spectrum.Frequency[n-1], Hertz),
		number("rms", own.RMSResidual, Fraction), within("why", unresolved(own, fit.Polarisation)), word("serves", serves),
		word("cause", cause), word("other", other))
}

// arcless is what may have cost a spectrum its arc: the correction, the band, or, where that is wide enough, something else.
func (v *sight) arcless() string {
	const wideTopHz, wideEndHz, about = 1e4, 0.01, 1.05 // common practice
	switch f := v.spectrum.Frequency; {
	case seeOvercorrected(v) != nil:
		return "correction"
	case f[0]*about < wideTopHz || f[len(f)-1] > wideEndHz*about:
		return "band"
	}
	return "other"
}

func seeArcOpen(v *sight) []Fact {
	if !v.doubted("arc-not-closed") || !v.fit.Polarisation.Known() || v.deepValley() {
		return nothing
	}
	n, u := len(v.spectrum.Frequency), 0.0
	if v.fit.ChargeTransfer.Known() {
		u = math.Hypot(v.fit.ChargeTransfer.Relative(), v.fit.LogModelU[fit.ChargeTransfer])
	}
	if beyond := v.arcTop() / v.spectrum.Frequency[n-1]; u > 0 && u < openShare && beyond > farBelow {
		return nothing // the tail hides the valley, and going lower would not show it
	}
	return seen(number("lowest", v.spectrum.Frequency[n-1], Hertz), number("top", v.arcTop(), Hertz), number("share", u, Fraction), word("hidden", v.hidden()))
}

// hidden says that it is noise and not the end of the sweep that hides where an arc ends.
func (v *sight) hidden() string {
	n := len(v.spectrum.Frequency)
	if v.kk != nil && v.noise() > faintNoise && v.arcTop() > farBelow*v.spectrum.Frequency[n-1] {
		return "noise"
	}
	return ""
}

// deepValley reports, of a spectrum with points so sparse that the fit cannot tell a bend from noise, whether the curve falls
// toward the real axis and rises again, each by a quarter and over several points.
func (v *sight) deepValley() bool {
	const quarter, several = 0.75, 3
	if perDecade, _, _, _ := spacing(v.spectrum); perDecade >= fewPerDecade {
		return false
	}
	heights := make([]float64, len(v.spectrum.Impedance))
	for i, z := range v.spectrum.Impedance {
		heights[i] = -imag(z)
	}
	for i := several; i+several < len(heights); i++ {
		sides := min(slices.Max(heights[:i-several+1]), slices.Max(heights[i+several:]))
		if heights[i] > 0 && heights[i] < quarter*sides {
			return true
		}
	}
	return false
}

// arcTop is the frequency of the charge-transfer arc's top in hertz.
func (v *sight) arcTop() float64 {
	return 1 / (2 * math.Pi * v.fit.Parameters.ChargeTransferTimeConstant)
}

func seeOhmicExtrapolated(v *sight) []Fact {
	if !v.doubted("ohmic-extrapolated") || !v.fit.Ohmic.Known() || len(v.spectrum.Frequency) == 0 || seeConstant(v) != nil {
		return nothing
	}
	z, r := v.spectrum.Impedance[0], v.fit.Ohmic
	return seen(number("highest", v.spectrum.Frequency[0], Hertz), number("reactance", imag(z), Ohm),
		uncertain("ohmic", r.Estimate(), r.StandardUncertainty(), Ohm), number("beyond", real(z)-r.Estimate(), Ohm))
}

// seeOhmicUnresolved finds a spectrum whose arcs can be read and whose ohmic resistance cannot.
func seeOhmicUnresolved(v *sight) []Fact {
	if v.fit.Status != fit.Converged || v.fit.Ohmic.Known() || !v.fit.Polarisation.Known() || v.violated() {
		return nothing
	}
	top := "inductive"
	if imag(v.spectrum.Impedance[0]) < 0 {
		top = "capacitive"
	}
	return seen(number("highest", v.spectrum.Frequency[0], Hertz), within("why", unresolved(v.fit, fit.Ohmic)), word("top", top))
}

// at1kHz is the impedance at 1 kHz and by how much its modulus exceeds its real part, as a fraction.
func (v *sight) at1kHz() (z complex128, excess float64, ok bool) {
	z, _, ok = impedanceAt(v.spectrum, acFrequencyHz)
	if !ok || real(z) <= 0 {
		return z, 0, false
	}
	return z, cmplx.Abs(z)/real(z) - 1, true
}

// reach is the part of the charge-transfer arc's resistance that the leads' reactance has at the arc's top.
func (v *sight) reach() float64 {
	p := v.fit.Parameters
	if !(p.ChargeTransfer > 0) || !(p.ChargeTransferTimeConstant > 0) {
		return 0
	}
	return v.fit.Inductance.Estimate() / p.ChargeTransferTimeConstant / p.ChargeTransfer
}

// seeInductance finds leads of more than a metre of straight wire, where that matters to the cell.
func seeInductance(v *sight) []Fact {
	l := v.fit.Inductance
	if !l.Known() || l.Estimate() < straightLead {
		return nothing
	}
	z, excess, ok := v.at1kHz()
	if imag(z) < 0 || !ok {
		excess = 0
	}
	if excess < inductive1kHz/2 && v.reach() < arcShare {
		return nothing
	}
	return seen(uncertain("inductance", l.Estimate(), l.StandardUncertainty(), Henry), number("straight", l.Estimate()/straightLead, Metre),
		number("twisted", l.Estimate()/twistedLead, Metre), number("excess", excess, Fraction), number("reach", v.reach(), Fraction))
}

func seeLossy(v *sight) []Fact {
	l, beta, r := v.fit.Inductance, v.fit.InductanceExponent, v.fit.Ohmic
	if !l.Known() || !beta.Known() || !r.Known() || beta.Estimate() >= idealExponent || len(v.spectrum.Frequency) == 0 {
		return nothing
	}
	top := v.spectrum.Frequency[0]
	if n, z := v.inductivePoints(), imag(v.spectrum.Impedance[0]); n < fewestInductive || z < leadsRule*r.Estimate() {
		return nothing // an arc that lies there bends the branch as well
	}
	loss := 2 * math.Pi * top * l.Estimate() / math.Tan(beta.Estimate()*math.Pi/2)
	if loss < lossShare*r.Estimate() {
		return nothing
	}
	return seen(uncertain("exponent", beta.Estimate(), beta.StandardUncertainty(), One), number("loss", loss, Ohm),
		number("at", top, Hertz), number("share", loss/r.Estimate(), Fraction))
}

// inductivePoints is the number of points above the real axis at the top of the band.
func (v *sight) inductivePoints() (n int) {
	for n < len(v.spectrum.Impedance) && imag(v.spectrum.Impedance[n]) > 0 {
		n++
	}
	return n
}

func seeInductive1kHz(v *sight) []Fact {
	z, excess, ok := v.at1kHz()
	if !ok || imag(z) <= 0 || excess < inductive1kHz || seeInductance(v) != nil {
		return nothing
	}
	return seen(number("excess", excess, Fraction), number("real", real(z), Ohm), number("reactance", imag(z), Ohm))
}
