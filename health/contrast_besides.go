package health

import "math"

// ohmicAlong is the change of ln R_Ω that goes with the arcs' change, with its standard uncertainty: of the temperatures where both are
// stated, else of the temperature that would change the arcs as much. Activation energies are the usual ones.
func (c *Comparison) ohmicAlong() (change, u float64) {
	energy, arcs := usualEnergy[ohmic], usualEnergy[polarisation]
	if c.byTemperature() {
		colder := 1e3 / molarGas * (1/kelvin(c.B.Row.TemperatureC) - 1/kelvin(c.A.Row.TemperatureC))
		return energy.Value * colder, math.Abs(energy.StandardUncertainty * colder)
	}
	ratio, grown := energy.Value/arcs.Value, math.Log1p(max(c.ArcGrowth.Estimate(), -0.99))
	apart := math.Hypot(energy.StandardUncertainty/energy.Value, arcs.StandardUncertainty/arcs.Value)
	return ratio * grown, ratio * math.Hypot(grown*apart, c.ArcGrowth.StandardUncertainty()/math.Exp(grown))
}

// besides is the shift along the real axis that what changed the arcs leaves over, in ohm, with its standard uncertainty, and what went
// along with the arcs, as a part of A's ohmic resistance. False where it may be nothing, and where days between the two explain it.
func (c *Comparison) besides() (over, u, along float64, ok bool) {
	if !c.moved() || !c.grew() || c.rigid() || c.aged() || c.ShiftShare <= -1 {
		return 0, 0, 0, false
	}
	ohm := c.Shift.Estimate() / c.ShiftShare
	change, changeU := c.ohmicAlong()
	along = math.Expm1(change)
	over, u = c.Shift.Estimate()-ohm*along, math.Hypot(c.Shift.StandardUncertainty(), ohm*math.Exp(change)*changeU)
	return over, u, along, math.Abs(over) > math.Max(excessSure*u, math.Max(excessShare*ohm, slightOhm))
}

// seeContactBesides tells of two causes: one for the arcs, and leads or contacts for what it leaves of the shift.
func seeContactBesides(c *Comparison) []Fact {
	over, u, along, ok := c.besides()
	if !ok {
		return nothing
	}
	why := ""
	switch {
	case c.byTemperature():
		why = "temperature"
	case c.charged():
		why = "charge"
	}
	return append(c.arcFacts(), uncertain("over", over, u, Ohm), number("along", along, Fraction), word("why", why))
}
