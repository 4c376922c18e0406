package notation

import (
	"math"
	"strconv"
	"strings"
)

// decimal is digits · 10^exponent. Numbers are rounded as the decimals that a reader sees, not as the
// binary fractions behind them: a tie is then a tie (NIST SP 811 (2008) B.7.1), and a change of prefix
// only moves the point.
type decimal struct {
	negative bool
	digits   uint64
	exponent int
}

// float64Digits is the most decimal digits that a float64 needs.
const float64Digits = 17

// decimalOf gives the shortest decimal that reads back as x, which is finite.
func decimalOf(x float64) decimal {
	text := strconv.FormatFloat(math.Abs(x), 'e', -1, 64)
	mantissa, power, _ := strings.Cut(text, "e")
	whole, fraction, _ := strings.Cut(mantissa, ".")
	digits, _ := strconv.ParseUint(whole+fraction, 10, 64)
	exponent, _ := strconv.Atoi(power)
	return decimal{x < 0, digits, exponent - len(fraction)}
}

// leading is the power of ten of the first digit.
func (d decimal) leading() int { return d.exponent + len(strconv.FormatUint(d.digits, 10)) - 1 }

// round keeps the digits down to 10^place, a tie to the even digit (NIST SP 811 B.7.1), and adds noughts
// down to it, but never digits that a float64 does not have.
func (d decimal) round(place int) decimal {
	place = max(place, d.leading()+1-float64Digits)
	shift := place - d.exponent
	switch {
	case shift <= 0:
		return decimal{d.negative, d.digits * powerOfTen(-shift), place}
	case shift > float64Digits:
		return decimal{false, 0, place}
	}
	unit := powerOfTen(shift)
	kept, dropped := d.digits/unit, d.digits%unit
	if dropped*2 > unit || dropped*2 == unit && kept%2 == 1 {
		kept++
	}
	return decimal{d.negative && kept > 0, kept, place}
}

// in gives d in a unit of 10^power.
func (d decimal) in(power int) decimal { return decimal{d.negative, d.digits, d.exponent - power} }

// parts are the digits before and after the point, without sign.
func (d decimal) parts() (whole, fraction string) {
	digits := strconv.FormatUint(d.digits, 10)
	if d.exponent >= 0 {
		if d.digits == 0 {
			return "0", ""
		}
		return digits + strings.Repeat("0", d.exponent), ""
	}
	decimals := -d.exponent
	digits = strings.Repeat("0", max(0, decimals+1-len(digits))) + digits
	return digits[:len(digits)-decimals], digits[len(digits)-decimals:]
}

func powerOfTen(n int) uint64 {
	p := uint64(1)
	for range n {
		p *= 10
	}
	return p
}
