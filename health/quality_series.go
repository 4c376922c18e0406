package health

import (
	"math"
	"math/cmplx"
	"slices"

	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
)

const (
	twiceShare  = 0.25        // of the points, from which frequencies that stand twice are a second sweep
	copiedRows  = 3           // points that stand twice, digit for digit, from which rows were copied
	roundWithin = 1e-3        // how near a frequency lies to one that people set, relative
	flipShare   = 0.05        // of |Z|, of an imaginary part whose sign means something
	flipNear    = 0.3         // of the step between two imaginary parts, to which their sum comes down where only the sign has changed
	fewestEqual = 8           // from which all of them equal are no chance
	turn        = 2 * math.Pi // rad
)

// seeConstant finds a file that says the same at every frequency.
func seeConstant(v *sight) []Fact {
	z := v.spectrum.Impedance
	if len(z) < fewestEqual {
		return nothing
	}
	for _, other := range z {
		if other != z[0] {
			return nothing
		}
	}
	return seen(count("points", len(z)), number("impedance", cmplx.Abs(z[0]), Ohm))
}

// seeTwoSweeps finds a file in which most frequencies stand twice and the points do not agree.
func seeTwoSweeps(v *sight) []Fact {
	n, apart, at := doubled(v.spectrum)
	if apart <= doubledApart || !v.twice(n) {
		return nothing
	}
	return seen(count("frequencies", n), count("points", len(v.spectrum.Frequency)), number("apart", apart, Fraction), number("at", at, Hertz))
}

// twice reports whether so many frequencies that stand twice are a second sweep.
func (v *sight) twice(frequencies int) bool {
	return frequencies >= copiedRows && float64(frequencies) >= twiceShare*float64(len(v.spectrum.Frequency))
}

// copied counts the points that stand twice, digit for digit.
func (v *sight) copied() (n int) {
	f, z := v.spectrum.Frequency, v.spectrum.Impedance
	for i := 1; i < len(f); i++ {
		if f[i] == f[i-1] && z[i] == z[i-1] {
			n++
		}
	}
	return n
}

// seeCopied finds rows that stand twice: they count double, and their noise looks smaller than it is.
func seeCopied(v *sight) []Fact {
	n := v.copied()
	if n < copiedRows {
		return nothing
	}
	return seen(count("rows", n), count("points", len(v.spectrum.Frequency)))
}

// seeAngular finds frequencies whose ends are round only when they are divided by 2π.
func seeAngular(v *sight) []Fact {
	n := len(v.spectrum.Frequency)
	if n < 2 {
		return nothing
	}
	high, low := v.spectrum.Frequency[0], v.spectrum.Frequency[n-1]
	if isRound(high) || isRound(low) || !isRound(high/turn) || !isRound(low/turn) {
		return nothing
	}
	return seen(number("highest", high, Hertz), number("lowest", low, Hertz), number("high", high/turn, Hertz), number("low", low/turn, Hertz))
}

// isRound reports whether a frequency has one digit that counts, as people set the ends of a sweep.
func isRound(hz float64) bool {
	unit := math.Pow(10, math.Floor(math.Log10(hz)+roundWithin))
	return math.Abs(hz/unit/math.Round(hz/unit)-1) < roundWithin
}

// flips counts the places at which the imaginary part changes its sign and not its size, and finds the first. They count where turning the
// sign back at each of them leaves a spectrum that a cell can have, or far more nearly one: in noise signs change as well.
func (v *sight) flips() (n int, atHz float64) {
	if v.kk == nil || v.kk.RMSResidual <= flippedRMS {
		return 0, 0
	}
	z, f := v.spectrum.Impedance, v.spectrum.Frequency
	back := &spectrum.Spectrum{Frequency: f, Impedance: slices.Clone(z)}
	for i := 1; i < len(z); i++ {
		if flipped(z[i-1], z[i]) {
			if n++; n == 1 {
				atHz = f[i]
			}
		}
		if n%2 == 1 {
			back.Impedance[i] = cmplx.Conj(z[i])
		}
	}
	if n == 0 {
		return 0, 0
	}
	if r := kramerskronig.Test(back); r == nil || min(r.RMSResidual, r.ReversedRMS) > reversedShare*v.kk.RMSResidual {
		return 0, 0
	}
	return n, atHz
}

// flipped reports whether from one point to the next the imaginary part changes its sign and not its size.
func flipped(from, to complex128) bool {
	a, b := imag(from), imag(to)
	return a*b < 0 && min(math.Abs(a), math.Abs(b)) >= flipShare*cmplx.Abs(to) && math.Abs(a+b) <= flipNear*math.Abs(a-b)
}
