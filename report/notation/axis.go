package notation

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// longestNumber is how many characters a number beside a drawing may have.
const longestNumber = 9

// Tick writes a multiple of a 1-2-5 step at an axis, to the digits that the step needs. Beyond six digits
// on either side of the point it is written with a power of ten.
func (n Notation) Tick(v, step float64) string {
	if v == 0 {
		return "0"
	}
	place := int(math.Floor(math.Log10(step) + 1e-9))
	if size := math.Abs(v); size >= 1e6 || place < -6 {
		exponent := int(math.Floor(math.Log10(size) + 1e-9))
		return n.decimal(decimalOf(v).in(exponent).round(min(place-exponent, 0))) + "·10" + Superscript(exponent)
	}
	return n.decimal(decimalOf(v).round(min(place, 0)))
}

// Short writes a number that somebody set in its unit: in full where it is short, else to four digits or to
// its whole part.
func (n Notation) Short(v float64, s Scale) string {
	if text := n.decimal(decimalOf(v).in(s.Power)); utf8.RuneCountInString(text) <= longestNumber {
		return WithUnit(text, s)
	}
	leading := decimalOf(v).in(s.Power).leading()
	return WithUnit(n.Tick(s.In(v), ScaleTen(1, leading-3)), s)
}

// Like writes a number to the digits that an uncertainty has, or short where that would be long.
func (n Notation) Like(v, uncertainty float64, s Scale) string {
	if uncertainty > 0 && !math.IsInf(uncertainty, 1) {
		text := n.decimal(decimalOf(v).round(roundUncertainty(uncertainty).exponent).in(s.Power))
		if utf8.RuneCountInString(text) <= longestNumber {
			return WithUnit(text, s)
		}
	}
	return n.Short(v, s)
}

// Superscript writes a whole number as an exponent.
func Superscript(n int) string {
	raised := [...]rune{'⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'}
	return strings.Map(func(r rune) rune {
		if r == '-' {
			return '⁻'
		}
		return raised[r-'0']
	}, strconv.Itoa(n))
}

// ScaleTen is m·10ⁿ, as close as a float64 comes for negative n too.
func ScaleTen(m float64, n int) float64 {
	if n < 0 {
		return m / math.Pow10(-n)
	}
	return m * math.Pow10(n)
}
