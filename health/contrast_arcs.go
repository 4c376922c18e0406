package health

import "math"

// stillShare is the part of the arcs' change below which their time constants stayed: at one capacitance a resistance takes its
// time constant along in full.
const stillShare = 1. / 3

// arcFacts are what is said of arcs that changed.
func (c *Comparison) arcFacts() []Fact {
	slowing := 0.0
	if c.Slowing.Known() {
		slowing = c.Slowing.Estimate()
	}
	still, besides := "", ""
	if c.still() {
		still = "still"
	}
	if _, _, _, ok := c.besides(); ok {
		besides = "besides"
	}
	return seen(uncertain("arc", c.ArcGrowth.Estimate(), c.ArcGrowth.StandardUncertainty(), Fraction), number("slowing", math.Expm1(slowing), Fraction),
		number("shift", c.Shift.Estimate(), Ohm), number("share", c.ShiftShare, Fraction), number("as_celsius", c.onBench(), Celsius),
		word("still", still), word("besides", besides))
}

// onBench is asCelsius where a bench may be so much warmer or colder, else 0.
func (c *Comparison) onBench() float64 {
	if celsius := c.asCelsius(); math.Abs(celsius) <= farC {
		return celsius
	}
	return 0
}

// asCelsius is the change of temperature that would change the arcs as much, for a charge transfer of 50 kJ/mol about 25 °C
// (0.0677 per kelvin; working range of the activation energy 45 to 70 kJ/mol, from memory).
func (c *Comparison) asCelsius() float64 {
	const energy = 50e3
	t := kelvin(25)
	return -math.Log1p(max(c.ArcGrowth.Estimate(), -0.99)) * molarGas * t * t / energy
}

// still reports arcs that changed their size and surely not their time constants as much, as no temperature does.
func (c *Comparison) still() bool {
	grown := math.Abs(math.Log1p(max(c.ArcGrowth.Estimate(), -0.99)))
	return c.Slowing.Known() && math.Abs(c.Slowing.Estimate())+sure*c.Slowing.StandardUncertainty() < stillShare*grown
}
