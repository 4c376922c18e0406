package notation

import "strconv"

// understatement is the part of an uncertainty that rounding to the nearest digit may hide; beyond it
// the digit goes up. JCGM 100:2008, 7.2.6 rounds 10.47 mΩ (4.5 % hidden) up to 11 mΩ and 28.05 kHz
// (0.2 %) down to 28 kHz, and leaves the line between them to common sense.
const understatement = 0.02

// SignificantDigits of an uncertainty are two: at most two by JCGM 100:2008, 7.2.6, and one alone may
// misstate it by a third.
const significantDigits = 2

// roundUncertainty gives an uncertainty, which is above zero, its two Significant digits.
func roundUncertainty(u float64) decimal {
	exact := decimalOf(u)
	rounded := exact.round(exact.leading() - significantDigits + 1)
	if shift := rounded.exponent - exact.exponent; shift > 0 {
		kept := rounded.digits * powerOfTen(shift)
		if kept < exact.digits && float64(exact.digits-kept) > understatement*float64(exact.digits) {
			rounded.digits++
		}
	}
	if rounded.digits == powerOfTen(significantDigits) { // 99.6 is 10 · 10¹
		return rounded.round(rounded.exponent + 1)
	}
	return rounded
}

// roundBy rounds an estimate to the last digit of its uncertainty (JCGM 100:2008, 7.2.6). Where the
// uncertainty is zero, as declared values may have it, every digit of the estimate stands.
func roundBy(estimate, u float64) (y, uncertainty decimal) {
	if u == 0 {
		y = decimalOf(estimate)
		return y, decimal{exponent: y.exponent}
	}
	uncertainty = roundUncertainty(u)
	y = decimalOf(estimate).round(uncertainty.exponent)
	if y.exponent > uncertainty.exponent { // the estimate has no digits that small
		uncertainty = uncertainty.round(y.exponent)
	}
	return y, uncertainty
}

// sentenceDigits are those of a size in a sentence; its uncertainty, where it is named, has its own two.
const sentenceDigits = 3

// Significant rounds a number to the digits that a sentence shows.
func Significant(x float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', sentenceDigits-1, 64), 64)
	if err != nil {
		return x
	}
	return rounded
}
