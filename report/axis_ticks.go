package report

import (
	"math"
	"strconv"
	"strings"

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
	decimals := decimalsOf(s.step)
	first, last := math.Ceil(low/minor-1e-6), math.Floor(high/minor+1e-6)
	var ticks []plot.Tick
	for i := first; i <= last && len(ticks) < maxTicks && i+1 > i; i++ {
		tick := plot.Tick{Value: i / parts * s.step}
		if math.Mod(i, parts) == 0 {
			tick.Label = s.notation.tick(tick.Value, decimals)
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

// decimalsOf is how many digits after the point the multiples of a 1-2-5 step need.
func decimalsOf(step float64) int { return max(0, -int(math.Floor(math.Log10(step)+1e-9))) }

// tick writes a number at an axis. Beyond six digits on either side it is written as a power of ten.
func (n Notation) tick(v float64, decimals int) string {
	if v == 0 {
		return "0"
	}
	if size := math.Abs(v); size >= 1e6 || decimals > 6 {
		exponent := math.Floor(math.Log10(size) + 1e-9)
		return n.decimal(decimalOf(v/math.Pow(10, exponent)).round(-2)) + "·10" + superscript(int(exponent))
	}
	return n.decimal(decimalOf(v).round(-decimals))
}

// superscript writes a whole number as an exponent.
func superscript(n int) string {
	return strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴",
		"5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹").Replace(strconv.Itoa(n))
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
		return d.notation.tick(scaleTen(float64(m), e), max(0, -e))
	}
	return ""
}
