package health

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// farC is by how many °C two measurements may differ so that the one says anything about the other.
const farC = 25

// usualEnergy is what an activation energy is taken for where the job declares none, kJ/mol: the middle and about half the width of what
// doubts.go calls plausible.
var usualEnergy = map[resistance]job.Stated{
	ohmic:        {Value: 13, StandardUncertainty: 5},
	polarisation: {Value: 55, StandardUncertainty: 10},
}

// energyFor is the activation energy that a resistance is brought to another temperature with, in J/mol, with its standard uncertainty.
func (g grounds) energyFor(r resistance) (energy, u float64) {
	declared := g.job.TemperatureCorrection.Ohmic
	if r != ohmic {
		declared = g.job.TemperatureCorrection.ChargeTransfer
	}
	if g.job.TemperatureCorrection.Source != job.CorrectionDeclared || declared == nil {
		usual := usualEnergy[r]
		declared = &usual
	}
	return 1e3 * declared.Value, 1e3 * declared.StandardUncertainty
}

// change is the change of ln R from one measurement to another at one temperature, with its standard uncertainty. False where one
// of the two has no such resistance.
func (g grounds) change(s *specimen, from, to int, r resistance) (change, u float64, ok bool) {
	a, b := &s.Measurements[from], &s.Measurements[to]
	before, after := a.Fit.Resistance(traits[r].element), b.Fit.Resistance(traits[r].element)
	if !before.Known() || !after.Known() || !(before.Estimate() > 0) || !(after.Estimate() > 0) {
		return 0, 0, false
	}
	energy, energyU := g.energyFor(r)
	ta, tb := kelvin(a.Row.TemperatureC), kelvin(b.Row.TemperatureC)
	colder := (1/tb - 1/ta) / molarGas
	e := traits[r].element
	fits := s.covariance(from, from, e) + s.covariance(to, to, e) - 2*s.covariance(from, to, e)
	variance := math.Max(fits, 0) + math.Pow(s.misfit(from, to, e), 2) + math.Pow(energyU*colder, 2) +
		math.Pow(energy/(molarGas*ta*ta)*a.Row.TemperatureUncertaintyC, 2) + math.Pow(energy/(molarGas*tb*tb)*b.Row.TemperatureUncertaintyC, 2)
	return math.Log(after.Estimate()/before.Estimate()) - energy*colder, math.Sqrt(variance), true
}

// warmed is the difference of two measurements as their fits have it, the first brought to the temperature of the second: for
// curves at two temperatures, whose arcs are of two sizes.
func (g grounds) warmed(s *specimen, from, to int) (d difference, ok bool) {
	along, u, ok := g.change(s, from, to, ohmic)
	if !ok {
		return d, false
	}
	d.ohmic = s.Measurements[to].Fit.Ohmic.Estimate() * math.Exp(-along)
	d.shift, ok = finite(d.ohmic*math.Expm1(along), d.ohmic*math.Exp(along)*u)
	if grown, u, resolved := g.change(s, from, to, polarisation); resolved {
		d.arc, _ = finite(math.Expm1(grown), math.Exp(grown)*u)
		d.arcs = s.Measurements[to].Fit.Resistance(fit.Polarisation).Estimate() * math.Exp(-grown)
	}
	return d, ok
}
