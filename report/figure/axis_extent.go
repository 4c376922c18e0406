package figure

import "math"

// extent is what an axis has to show: from low to high, empty until something finite is included.
type extent struct{ low, high float64 }

func emptyExtent() extent { return extent{math.Inf(1), math.Inf(-1)} }

func (e extent) empty() bool   { return !(e.low <= e.high) }
func (e extent) span() float64 { return e.high - e.low }

func (e extent) contains(v float64) bool { return v >= e.low && v <= e.high }

// largest is the size of numbers that can be drawn: squares of them are still finite.
const largest = 1e100

// drawable reports whether a number can be put on an axis.
func drawable(v float64) bool { return math.Abs(v) < largest }

// with includes values; what cannot be drawn is left out.
func (e extent) with(values ...float64) extent {
	for _, v := range values {
		if drawable(v) {
			e.low, e.high = math.Min(e.low, v), math.Max(e.high, v)
		}
	}
	return e
}

// padded is wider by a share of its span on each side, and never so narrow that ticks would fall together.
func (e extent) padded(share float64) extent {
	if e.empty() {
		return extent{0, 1}
	}
	least := math.Max(math.Abs(e.low), math.Abs(e.high)) * 1e-4
	if least == 0 {
		least = 1
	}
	pad := math.Max(e.span()*share, (least-e.span())/2)
	return extent{e.low - pad, e.high + pad}
}

// paddedLog is padded on a logarithmic axis, of positive ends.
func (e extent) paddedLog(share float64) extent {
	if e.empty() || e.low <= 0 {
		return extent{1, 10}
	}
	l := extent{math.Log10(e.low), math.Log10(e.high)}
	pad := math.Max(l.span()*share, (0.2-l.span())/2)
	const end = 100 // of the exponents
	return extent{math.Pow(10, min(max(l.low-pad, -end), end-1)), math.Pow(10, min(max(l.high+pad, 1-end), end))}
}
