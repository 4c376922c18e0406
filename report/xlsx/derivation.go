package xlsx

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// Arrhenius term of a correction: E_a in kJ/mol over the molar gas constant (CODATA 2018, exact), and the
// zero of the Celsius scale in kelvin.
const (
	molarGas    = 8.31446261815324
	zeroCelsius = 273.15
	termFormula = "1000*%E/8.31446261815324*(1/(%T+273.15)-1/(%B+273.15))"
)

// operand is a number that stands in a cell.
type operand struct {
	place string
	value float64
}

// corrected is a resistance as it would be at another temperature.
func corrected(resistance, energy, from, to operand) derived {
	formula := expand(resistance.place+"*EXP(-"+termFormula+")", energy.place, from.place, to.place)
	term := 1000 * energy.value / molarGas * (1/(from.value+zeroCelsius) - 1/(to.value+zeroCelsius))
	return derived{formula, resistance.value * math.Exp(-term)}
}

func expand(formula, energy, from, to string) string {
	out := make([]byte, 0, len(formula)+len(energy)+len(from)+len(to))
	for i := 0; i < len(formula); i++ {
		if formula[i] != '%' {
			out = append(out, formula[i])
			continue
		}
		i++
		out = append(out, map[byte]string{'E': energy, 'T': from, 'B': to}[formula[i]]...)
	}
	return string(out)
}

// derivation is how a quantity of a row follows from others of the workbook; empty where it does not.
func (b *book) derivation(c *columns[measured], q job.Quantity, m measured, at int) derived {
	t := b.doc.Assessment.Temperature
	from := operand{c.at("temperature", at), m.Row.TemperatureC}
	ohmic := operand{c.at("ohmic", at), m.fitted().Ohmic.Estimate()}
	charge := operand{c.at("charge_transfer", at), m.fitted().ChargeTransfer.Estimate()}
	arcs := operand{c.at("all_arcs", at), m.fitted().Polarisation.Estimate()}
	ohmicEnergy, chargeEnergy := operand{nameOhmicEnergy, orNought(t.Ohmic.Estimate())}, operand{nameChargeEnergy, orNought(t.ChargeTransfer.Estimate())}
	reference := operand{nameReference, b.doc.Assessment.Job.Conditions.ReferenceTemperatureC}
	base := b.baseline(m)
	switch q {
	case job.OhmicOhm:
		return corrected(ohmic, ohmicEnergy, from, reference)
	case job.ChargeTransferOhm:
		return corrected(charge, chargeEnergy, from, reference)
	case job.OhmicGrowth:
		return over(corrected(ohmic, ohmicEnergy, from, base.temperature), base.ohmic)
	case job.ChargeTransferGrowth:
		return over(corrected(charge, chargeEnergy, from, base.temperature), base.charge)
	case job.TotalResistanceGrowth:
		sum := plus(corrected(ohmic, ohmicEnergy, from, base.temperature), corrected(arcs, chargeEnergy, from, base.temperature))
		return over(sum, base.ohmic, base.arcs)
	case job.CapacityRetention:
		if m.Row.CapacityAh == nil {
			return derived{}
		}
		return over(derived{c.at("capacity", at), *m.Row.CapacityAh}, base.capacity)
	case job.ResistanceStateOfHealth:
		return b.stateOfHealth(operand{c.at(string(job.ChargeTransferGrowth), at), m.ChargeTransferGrowth.Ratio.Estimate()})
	}
	return derived{}
}

// derivedUncertainty is that of a quantity whose uncertainty hangs on an input: of the state of health.
func (b *book) derivedUncertainty(c *columns[measured], q job.Quantity, m measured, at int) derived {
	if q != job.ResistanceStateOfHealth {
		return derived{}
	}
	u := operand{c.at("u "+string(job.ChargeTransferGrowth), at), m.ChargeTransferGrowth.Ratio.StandardUncertainty()}
	return b.perLife(derived{u.place, u.value})
}

// stateOfHealth is (R_EoL − R)/(R_EoL − R_new) with growths in place of resistances.
func (b *book) stateOfHealth(growth operand) derived {
	end, _ := endOfLife(b.list).value.(float64)
	return b.perLife(derived{"(" + nameEndOfLife + "-" + growth.place + ")", end - growth.value})
}

// perLife divides by the growth that a life has room for; blank where the limit leaves none.
func (b *book) perLife(d derived) derived {
	end, ok := endOfLife(b.list).value.(float64)
	if !ok {
		return derived{}
	}
	return derived{"IF(" + nameEndOfLife + ">1," + d.formula + "/(" + nameEndOfLife + `-1),"")`, d.value / (end - 1)}
}

func plus(a, b derived) derived { return derived{a.formula + "+" + b.formula, a.value + b.value} }

// over divides by one operand or by the sum of several.
func over(d derived, by ...operand) derived {
	places, sum := by[0].place, by[0].value
	for _, o := range by[1:] {
		places += "+" + o.place
		sum += o.value
	}
	if len(by) > 1 {
		return derived{"(" + d.formula + ")/(" + places + ")", d.value / sum}
	}
	return derived{d.formula + "/" + places, d.value / sum}
}

// foundation are the places and values of what a cell's growth is measured against.
type foundation struct{ ohmic, charge, arcs, capacity, temperature operand }

func (b *book) baseline(m measured) foundation {
	row, base := firstRow+b.plan.cell[m.i], &m.cell.Baseline
	place := func(key string, v fit.Value) operand {
		return operand{inSheet(b.sheetName("baselines"), b.founded.fixed(key, row)), v.Estimate()}
	}
	return foundation{
		ohmic: place("ohmic", base.Ohmic), charge: place("charge_transfer", base.ChargeTransfer),
		arcs: place("all_arcs", base.Polarisation), capacity: place("capacity", base.CapacityAh),
		temperature: operand{inSheet(b.sheetName("baselines"), b.founded.fixed("temperature", row)), base.TemperatureC},
	}
}
