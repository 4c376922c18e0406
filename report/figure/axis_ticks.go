package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"

	"ohmledger/report/notation"
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
			if step := notation.ScaleTen(m, int(exponent)); step >= least*(1-1e-9) {
				return step
			}
		}
	}
}

// steps puts labelled ticks at the multiples of a step, and plain ones between.
type steps struct {
	step     float64
	notation notation.Notation
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
			tick.Label = s.notation.Tick(tick.Value, s.step)
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

// leastBetween is how near ticks may stand to each other so that they can still be counted: 2 mm (common practice).
const leastBetween = vg.Length(2 * pointsPerMM)

// spare leaves out the plain ticks of a linear axis on which they would stand too near to each other.
func spare(a *plot.Axis, length vg.Length) {
	if _, logarithmic := a.Scale.(plot.LogScale); logarithmic {
		return
	}
	marker := a.Tick.Marker
	a.Tick.Marker = plot.TickerFunc(func(low, high float64) []plot.Tick { return countable(marker.Ticks(low, high), length) })
}

// countable are the ticks that can be counted on an axis of a length: all, or those with a number.
func countable(ticks []plot.Tick, length vg.Length) []plot.Tick {
	if vg.Length(len(ticks))*leastBetween <= length {
		return ticks
	}
	return slices.DeleteFunc(ticks, func(t plot.Tick) bool { return t.Label == "" })
}

// decades puts labelled ticks at powers of ten, 10ⁿ, and plain ones at their multiples up to nine. Where
// fewer than two powers of ten are in sight it labels 1, 2 and 5 times one as plain numbers instead.
type decades struct {
	notation notation.Notation
	every    int // label every so many powers of ten
}

// Ticks implements plot.Ticker; low and high are positive.
func (d decades) Ticks(low, high float64) []plot.Tick {
	first, last := int(math.Ceil(math.Log10(low)-1e-9)), int(math.Floor(math.Log10(high)+1e-9))
	var ticks []plot.Tick
	for e := first - 1; e <= last && len(ticks) < maxTicks*9; e++ {
		for m := 1; m < 10; m++ {
			tick := plot.Tick{Value: notation.ScaleTen(float64(m), e)}
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
		return "10" + notation.Superscript(e)
	case !powers && (m == 1 || m == 2 || m == 5):
		return d.notation.Tick(notation.ScaleTen(float64(m), e), notation.ScaleTen(1, e))
	}
	return ""
}
