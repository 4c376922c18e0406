package report

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/plot"
)

// maxTicks bounds what a ticker gives, whatever it is asked.
const maxTicks = 400

// niceStep is the smallest of 1, 2 and 5 times a power of ten that divides a span into at most so many
// parts. In Nyquist plots both axes take the larger of their steps.
func niceStep(span float64, most int) float64 {
	least := span / float64(max(most, 1))
	if !(least > 0) || math.IsInf(least, 0) {
		return 1
	}
	exponent := math.Floor(math.Log10(least))
	for ; ; exponent++ {
		for _, m := range []float64{1, 2, 5} {
			if step := scaleTen(m, int(exponent)); step >= least*(1-1e-9) {
				return step
			}
		}
	}
}

// scaleTen is m·10ⁿ, as close as a float64 comes for negative n too.
func scaleTen(m float64, n int) float64 {
	if n < 0 {
		return m / math.Pow10(-n)
	}
	return m * math.Pow10(n)
}

// steps puts labelled ticks at the multiples of a step, and plain ones between.
type steps struct {
	step     float64
	notation Notation
}

// Ticks implements plot.Ticker.
func (s steps) Ticks(low, high float64) []plot.Tick {
	parts := minorParts(s.step)
	minor := s.step / parts
	first, last := math.Ceil(low/minor-1e-6), math.Floor(high/minor+1e-6)
	var ticks []plot.Tick
	for i := first; i <= last && len(ticks) < maxTicks && i+1 > i; i++ {
		tick := plot.Tick{Value: i / parts * s.step}
		if math.Mod(i, parts) == 0 {
			tick.Label = s.notation.tick(tick.Value, s.step)
		}
		ticks = append(ticks, tick)
	}
	return ticks
}

// minorParts is how many parts a step is divided into: five of a 1 or a 5, four of a 2.
func minorParts(step float64) float64 {
	if lead := step / math.Pow(10, math.Floor(math.Log10(step)+1e-9)); lead > 1.5 && lead < 3 {
		return 4
	}
	return 5
}

// tick writes a multiple of a 1-2-5 step at an axis, to the digits that the step needs. Beyond six digits
// on either side of the point it is written with a power of ten.
func (n Notation) tick(v, step float64) string {
	if v == 0 {
		return "0"
	}
	place := int(math.Floor(math.Log10(step) + 1e-9))
	if size := math.Abs(v); size >= 1e6 || place < -6 {
		exponent := int(math.Floor(math.Log10(size) + 1e-9))
		return n.decimal(decimalOf(v).in(exponent).round(min(place-exponent, 0))) + "·10" + superscript(exponent)
	}
	return n.decimal(decimalOf(v).round(min(place, 0)))
}

// longestNumber is how many characters a number beside a drawing may have.
const longestNumber = 9

// short writes a number that somebody set in its unit: in full where it is short, else to four digits or to
// its whole part.
func (n Notation) short(v float64, s Scale) string {
	if text := n.decimal(decimalOf(v).in(s.Power)); utf8.RuneCountInString(text) <= longestNumber {
		return withUnit(text, s)
	}
	leading := decimalOf(v).in(s.Power).leading()
	return withUnit(n.tick(s.In(v), scaleTen(1, leading-3)), s)
}

// like writes a number to the digits that an uncertainty has, or short where that would be long.
func (n Notation) like(v, uncertainty float64, s Scale) string {
	if uncertainty > 0 && drawable(uncertainty) {
		text := n.decimal(decimalOf(v).round(roundUncertainty(uncertainty).exponent).in(s.Power))
		if utf8.RuneCountInString(text) <= longestNumber {
			return withUnit(text, s)
		}
	}
	return n.short(v, s)
}

// superscript writes a whole number as an exponent.
func superscript(n int) string {
	raised := [...]rune{'⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'}
	return strings.Map(func(r rune) rune {
		if r == '-' {
			return '⁻'
		}
		return raised[r-'0']
	}, strconv.Itoa(n))
}

// decades puts labelled ticks at powers of ten, 10ⁿ, and plain ones at their multiples up to nine. Where
// fewer than two powers of ten are in sight it labels 1, 2 and 5 times one as plain numbers instead.
type decades struct {
	notation Notation
	every    int // label every so many powers of ten
}

// Ticks implements plot.Ticker; low and high are positive.
func (d decades) Ticks(low, high float64) []plot.Tick {
	first, last := int(math.Ceil(math.Log10(low)-1e-9)), int(math.Floor(math.Log10(high)+1e-9))
	var ticks []plot.Tick
	for e := first - 1; e <= last && len(ticks) < maxTicks*9; e++ {
		for m := 1; m < 10; m++ {
			tick := plot.Tick{Value: scaleTen(float64(m), e)}
			if tick.Value < low*(1-1e-9) || tick.Value > high*(1+1e-9) {
				continue
			}
			tick.Label = d.label(m, e, last > first)
			ticks = append(ticks, tick)
		}
	}
	return ticks
}

func (d decades) label(m, e int, powers bool) string {
	switch {
	case powers && m == 1 && e%max(d.every, 1) == 0:
		return "10" + superscript(e)
	case !powers && (m == 1 || m == 2 || m == 5):
		return d.notation.tick(scaleTen(float64(m), e), scaleTen(1, e))
	}
	return ""
}
