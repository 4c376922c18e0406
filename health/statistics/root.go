package statistics

import "math"

// Zero finds where a rising function is zero: the bracket is widened until it holds one, then halved or cut by the secant
// (regula falsi with Illinois steps; Dowell and Jarratt, BIT 11 (1971) 168).
func Zero(f func(float64) float64, low, high float64) float64 {
	below, above := f(low), f(high)
	for step := high - low; below > 0; step *= 2 {
		high, above = low, below
		low -= step
		below = f(low)
	}
	for step := high - low; above < 0; step *= 2 {
		low, below = high, above
		high += step
		above = f(high)
	}
	return ZeroWithin(f, low, high, below, above)
}

// ZeroWithin finds it in a bracket whose ends are below and above zero.
func ZeroWithin(f func(float64) float64, low, high, below, above float64) float64 {
	for range 200 {
		x := low - below*(high-low)/(above-below)
		if !(x > low && x < high) {
			x = low + (high-low)/2
		}
		y := f(x)
		switch {
		case y == 0 || high-low <= 1e-13*(math.Abs(low)+math.Abs(high)):
			return x
		case y < 0:
			low, below, above = x, y, halved(above, below, y)
		default:
			high, above, below = x, y, halved(below, above, y)
		}
	}
	return low + (high-low)/2
}

// halved is the Illinois step: the function's value at the end that stays is halved where the other end moved little.
func halved(stays, was, is float64) float64 {
	if math.Abs(is) > math.Abs(was)/2 {
		return stays / 2
	}
	return stays
}

func squared(x float64) float64 { return x * x }
