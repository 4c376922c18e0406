package health

import (
	"fmt"
	"math"

	"ohmledger/fit"
)

const (
	molarGas    = 8.31446261815324 // J/(mol K), exact: CODATA 2018 and 2022
	zeroCelsius = 273.15           // K

	// comparable is how many standard uncertainties of their difference two uncorrected temperatures may differ by.
	comparable = 2
)

// Bounds of activation energies in J/mol, for the effect of a temperature difference that is not corrected. Charge transfer: the
// upper end of what lithium-ion electrodes show, 45 to 70 kJ/mol (working range from memory; Li⁺ transfer on graphite in carbonate
// electrolytes 58 kJ/mol: Yamada et al., Langmuir 25 (2009) 12766; up to 70 kJ/mol: Ogumi et al., Carbon 42 (2004) 3183). Ohmic:
// electrolyte conductivity 17.1 kJ/mol (Ecker et al., J. Electrochem. Soc. 162 (2015) A1836, from memory), rounded up.
const (
	boundChargeTransfer = 70e3
	boundOhmic          = 20e3
)

// activation is how one resistance depends on temperature, R ∝ exp(E/(R_gas T)), energies in J/mol.
type activation struct {
	energy      float64 // that the correction uses; 0 where there is none
	uncertainty float64 // of energy, standard; the bound where there is none
	slope       float64 // by which temperature errors are weighed: energy, or the bound
	known       bool
	source      string // the budget's line for the energy
	input       string // tells the two energies apart
	misfit      SeriesMisfit
}

// declaredActivation is that of a correction in force, kJ/mol.
func declaredActivation(v fit.Value, of resistance) activation {
	e, u := 1e3*v.Estimate(), 1e3*v.StandardUncertainty()
	return activation{energy: e, uncertainty: u, slope: e, known: true, source: "activation energy", input: "activation energy/" + traits[of].name}
}

// boundedActivation stands where there is no correction.
func boundedActivation(of resistance) activation {
	bound := boundChargeTransfer
	if of == ohmic {
		bound = boundOhmic
	}
	source := fmt.Sprintf("temperature, not corrected (bound from %.0f kJ/mol)", bound/1e3)
	return activation{uncertainty: bound, slope: bound, source: source, input: "activation energy/" + traits[of].name}
}

// exponent is E/(R_gas T), the Arrhenius term of ln R.
func (a activation) exponent(celsius float64) float64 { return a.energy / (molarGas * kelvin(celsius)) }

// uncertain is the effect of the activation energy on a reading from which the Arrhenius term was taken; its sign is
// turned where the term is put back.
func (a activation) uncertain(celsius float64) effect {
	return effect{a.source, a.input, -a.uncertainty / (molarGas * kelvin(celsius)), true}
}

// warmed is the effect of a temperature error on a reading from which the Arrhenius term was taken.
func (a activation) warmed(celsius, uncertainty float64, source, input string) effect {
	if !a.known {
		source = a.source
	}
	t := kelvin(celsius)
	return effect{source, input, a.slope / (molarGas * t * t) * uncertainty, false}
}

// at puts the Arrhenius term back: the reading as it would be at a temperature.
func (a activation) at(l logarithm, celsius float64) logarithm {
	back := a.uncertain(celsius)
	back.size = -back.size
	l.value += a.exponent(celsius)
	return l.with(back)
}

// apart reports whether two temperatures differ too much to compare readings at them without a correction.
func (a activation) apart(celsius1, u1, celsius2, u2 float64) bool {
	return !a.known && math.Abs(celsius1-celsius2) > comparable*math.Hypot(u1, u2)
}

func kelvin(celsius float64) float64 { return celsius + zeroCelsius }
