package notation

import (
	"math"
	"strings"
	"time"

	"ohmledger/fit"
)

// Characters that numbers are written with.
const (
	NotHad      = "—"      // in place of a number that could not be had
	Minus       = "−"      // U+2212
	NoBreak     = "\u00a0" // between number and unit
	groupSpace  = "\u202f" // between groups of three digits (SI Brochure, 9th edition, 5.4.4)
	groupDigits = 3
	groupFrom   = 5 // four digits stay together (SI Brochure 5.4.4)
)

// Notation is how a language writes numbers and dates. The zero Notation is English.
type Notation struct {
	comma   bool              // decimal comma
	layouts map[string]string // of package time, in place of those of ISO 8601
}

// isoMinute and the others are dates as ISO 8601 has them; with a blank for the T.
const (
	isoMinute    = "2006-01-02 15:04"
	ISOMonth     = "2006-01"
	MonthDayHour = "01-02 15:04"
)

// german dates: DIN 5008 has the day first; the month alone stands before its year with a slash.
var german = map[string]string{
	time.DateOnly: "02.01.2006", isoMinute: "02.01.2006 15:04", ISOMonth: "01/2006", MonthDayHour: "02.01. 15:04",
}

// NotationOf is the notation of a language of job.yaml. Dates are ISO 8601 in English, where the order
// of day and month would be in doubt otherwise, and as DIN 5008 writes them in German: everywhere in a report, so that
// one day is written in one way. What machines read, results.json and the cells of the workbook, keeps to ISO 8601.
func NotationOf(language string) Notation {
	if language == "de" {
		return Notation{comma: true, layouts: german}
	}
	return Notation{}
}

// Number writes an estimate with its standard uncertainty in brackets, in units of its last digits
// (JCGM 100:2008, 7.2.2), without the unit: for tables whose heads name it.
func (n Notation) Number(v fit.Value, s Scale) string {
	if !v.Known() {
		return NotHad
	}
	y, u := roundBy(v.Estimate(), v.StandardUncertainty())
	y, u = y.in(s.Power), u.in(s.Power)
	whole, fraction := u.parts()
	if strings.Trim(whole, "0") == "" {
		whole, fraction = strings.TrimLeft(fraction, "0"), ""
	}
	if whole == "" {
		whole = "0"
	}
	return n.decimal(y) + "(" + n.digits(whole, fraction) + ")"
}

// Value writes Number with its unit: 20.15(12) mΩ.
func (n Notation) Value(v fit.Value, s Scale) string { return WithUnit(n.Number(v, s), s) }

// PlusMinus writes an estimate with its expanded uncertainty (JCGM 100:2008, 7.2.4), without the unit.
func (n Notation) PlusMinus(estimate, expanded float64, s Scale) string {
	if math.IsNaN(estimate) || math.IsNaN(expanded) {
		return NotHad
	}
	y, u := roundBy(estimate, expanded)
	return n.decimal(y.in(s.Power)) + " ± " + n.decimal(u.in(s.Power))
}

// Expanded writes PlusMinus with its unit: (20.15 ± 0.24) mΩ, or 1.234 ± 0.056 where the unit is one.
// What it states has to be told its coverage factor, see Coverage.
func (n Notation) Expanded(estimate, expanded float64, s Scale) string {
	text := n.PlusMinus(estimate, expanded, s)
	if s.Symbol == "" || text == NotHad {
		return text
	}
	return WithUnit("("+text+")", s)
}

// Ratio writes a ratio and the factor by which its interval reaches to both sides, e to the power of the expanded uncertainty of
// its logarithm: 1.501 ×/÷ 1.068, which ends at the product and at the quotient of the two. What it states has to be told its
// coverage factor, and the sign.
func (n Notation) Ratio(estimate, expandedLogarithm float64) string {
	factor := math.Exp(expandedLogarithm)
	switch {
	case math.IsNaN(estimate) || math.IsNaN(factor) || math.IsInf(factor, 0):
		return NotHad
	case !(factor > 1):
		return n.decimal(decimalOf(estimate))
	}
	const coarsest = -2 // a factor of 2.07 as 2.1 would move its ends by more than a digit
	y, _ := roundBy(estimate, estimate*expandedLogarithm)
	place := min(roundUncertainty(factor-1).exponent, coarsest)
	return n.decimal(y) + groupSpace + "×/÷" + groupSpace + n.decimal(decimalOf(factor).round(place))
}

// Coverage writes a coverage factor: (k = 2).
func (n Notation) Coverage(k float64) string { return "(k = " + n.decimal(decimalOf(k)) + ")" }

// Interval writes the ends of a coverage interval, which need not lie evenly about the estimate, to the
// digits that an uncertainty has: 1.18 to 1.31 as "1.18 … 1.31", without the unit.
func (n Notation) Interval(lower, upper, u float64, s Scale) string {
	if math.IsNaN(lower) || math.IsNaN(upper) || math.IsNaN(u) {
		return NotHad
	}
	low, _ := roundBy(lower, u)
	high, _ := roundBy(upper, u)
	return n.decimal(low.in(s.Power)) + " … " + n.decimal(high.in(s.Power))
}

// Uncertainty writes an uncertainty alone, to its two digits, without the unit.
func (n Notation) Uncertainty(u float64, s Scale) string {
	switch {
	case math.IsNaN(u):
		return NotHad
	case u == 0:
		return "0"
	}
	return n.decimal(roundUncertainty(u).in(s.Power))
}

// Stated writes a number that somebody set rather than measured, such as a limit, with its unit and
// every digit that it was given.
func (n Notation) Stated(x float64, s Scale) string {
	if math.IsNaN(x) {
		return NotHad
	}
	return WithUnit(n.decimal(decimalOf(x).in(s.Power)), s)
}

// Fixed writes a number to a fixed count of decimals, without the unit: for counts of cycles, for
// percentages and probabilities, and for what has its uncertainty stated once for all.
func (n Notation) Fixed(x float64, decimals int, s Scale) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return NotHad
	}
	return n.decimal(decimalOf(x).in(s.Power).round(-decimals))
}

// Frequency writes a frequency in hertz with its unit, to the digits of a sentence.
func (n Notation) Frequency(hertz float64) string {
	hertz = Significant(hertz)
	return n.Stated(hertz, Hertz.Scale(fit.NewValue(hertz, 0)))
}

// Percentage writes a fraction in per cent: 0.28 %.
func (n Notation) Percentage(fraction float64, decimals int) string {
	s := Percent.Scale()
	return WithUnit(n.Fixed(fraction, decimals, s), s)
}

// Temperature writes a cell's temperature with its standard uncertainty, 25.3(5) °C as 25.30(50) °C, or one that was set without.
func (n Notation) Temperature(celsius, standardUncertainty float64) string {
	if standardUncertainty == 0 {
		return n.Stated(celsius, Celsius.Scale())
	}
	return n.Value(fit.NewValue(celsius, standardUncertainty), Celsius.Scale())
}

// Date writes a day, NotHad where there is none.
func (n Notation) Date(t time.Time) string { return n.Moment(t, time.DateOnly) }

// Minute writes a day and the time of day.
func (n Notation) Minute(t time.Time) string { return n.Moment(t, isoMinute) }

// Moment writes a moment as the language does where ISO 8601 would use a layout.
func (n Notation) Moment(t time.Time, layout string) string {
	if t.IsZero() {
		return NotHad
	}
	if own := n.layouts[layout]; own != "" {
		layout = own
	}
	return t.Format(layout)
}

// decimal writes d with sign, decimal sign and groups of digits.
func (n Notation) decimal(d decimal) string {
	sign := ""
	if d.negative && d.digits != 0 {
		sign = Minus
	}
	return sign + n.digits(d.parts())
}

func (n Notation) digits(whole, fraction string) string {
	if fraction == "" {
		return groupLeft(whole)
	}
	point := "."
	if n.comma {
		point = ","
	}
	return groupLeft(whole) + point + groupRight(fraction)
}

// groupLeft groups digits from the right end: 12 345.
func groupLeft(digits string) string {
	if len(digits) < groupFrom {
		return digits
	}
	first := (len(digits)-1)%groupDigits + 1
	return digits[:first] + groupSpace + groupRight(digits[first:])
}

// groupRight groups digits from the left end: 021 47.
func groupRight(digits string) string {
	if len(digits) < groupFrom {
		return digits
	}
	return digits[:groupDigits] + groupSpace + groupRight(digits[groupDigits:])
}

// WithUnit puts the unit behind a number that is had.
func WithUnit(number string, s Scale) string {
	if s.Symbol == "" || number == NotHad {
		return number
	}
	return number + NoBreak + s.Symbol
}
