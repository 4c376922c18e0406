package fit

import (
	"math"

	"ohmledger/fit/internal/leastsq"
)

// Interval is a coverage interval.
type Interval struct{ Lower, Upper float64 }

// profiledFrom is the relative standard uncertainty from which a resistance's interval is looked at in full: below
// it the logarithm is quadratic for every practical purpose.
const profiledFrom = 0.08

// riseAt95 is the rise of the sum of squares at the ends of a 95 % interval, the 0.95 quantile of χ² with one
// degree of freedom (Venzon and Moolgavkar, Appl. Statist. 37 (1988) 87: profile likelihood).
const riseAt95 = 3.841458820694124

// profileReach is how far from the estimate an end is looked for, in ln R: a factor of twenty.
const profileReach = 3

// profile finds the interval of a resistance's slot in which the sum of squares, least in all other coordinates, rises
// by no more than riseAt95. Exponents stay where the history has them; a single spectrum's move along. u is what the
// quadratic says under the same conditions.
func (t *task) profile(i, slot int, u float64) (lower, upper float64) {
	l := t.layout
	if t.joint() {
		l.fixed = t.shared
	}
	base := t.costOf(l, i, nil)
	centre := t.local[i][l.place(slot)]
	end := func(sign float64) float64 {
		rise := func(step float64) float64 {
			return t.costOf(l, i, &pin{slot, centre + sign*step}) - base
		}
		return sign * crossing(rise, riseAt95, normal95*u)
	}
	return end(-1), end(1)
}

// costOf is the least sum of squares of one spectrum, with a size held where one is given.
func (t *task) costOf(l layout, i int, held *pin) float64 {
	s := *t.sheets[i]
	s.held = held
	one := newTask(l, []*sheet{&s}, []vector{t.at(i)})
	one.solve(leastsq.Settings{MaxIterations: 100, RelativeCost: 1e-6, RelativeStep: 1e-6})
	return one.cost
}

// crossing is the step at which a rise from zero meets the level. Where it does so near the guess, as a quadratic
// rise does, one look is enough; else by doubling, then halving. profileReach where it does not.
func crossing(rise func(float64) float64, level, guess float64) float64 {
	if r := rise(guess); r > 0.7*level && r < 1.4*level {
		return guess * math.Sqrt(level/r)
	}
	low, high := 0.0, 0.05
	for rise(high) < level {
		low, high = high, 2*high
		if high > profileReach {
			return profileReach
		}
	}
	for range 6 {
		if mid := (low + high) / 2; rise(mid) < level {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// slotOf is the coordinate of an element that has one of its own.
var slotOf = map[Element]int{Ohmic: slotOhmic, Film: slotFilm, ChargeTransfer: slotTransfer}

// widen replaces the quadratic uncertainty of a resistance by its profile's where that is larger, and keeps the
// interval where it is lopsided. u is the quadratic standard uncertainty of ln R. In a history a profile knows no more than
// the spectrum by itself, exponents given: what they add widens it in proportion.
func (r *Result) widen(by *uncertainty, i int, e Element, u float64) float64 {
	t := by.task
	slot, ok := slotOf[e]
	if !ok || !(u > profiledFrom) || t.layout.place(slot) < 0 {
		return u
	}
	own := u
	if t.joint() {
		n, at := t.layout.local(), t.layout.place(slot)
		own = math.Sqrt(by.covariance.Local[i][at*n+at])
	}
	lower, upper := t.profile(i, slot, own)
	lower, upper = lower*u/own, upper*u/own
	estimate := r.Parameters.resistance(e)
	if r.Intervals == nil {
		r.Intervals = map[Element]Interval{}
	}
	r.Intervals[e] = Interval{estimate * math.Exp(lower), estimate * math.Exp(upper)}
	return math.Max(u, math.Max(-lower, upper)/normal95)
}

// normal95 is the 0.975 quantile of the normal distribution.
const normal95 = 1.959963984540054
