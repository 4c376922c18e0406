package pdf

import (
	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// sideHead is the room left of a text for its side head, in mm.
const sideHead = 27

// baseline says what a cell's growth is measured against.
func (c *composition) baseline(cell *health.Cell) {
	b := &cell.Baseline
	scale := resistanceScale(cell)
	value := func(v fit.Value) string {
		if !v.Known() {
			return ""
		}
		return c.numbers.Value(v, scale)
	}
	text := c.say("baseline", struct{ Source, Ohmic, ChargeTransfer, Temperature, Note string }{
		c.source(b.Source), value(b.Ohmic), value(b.ChargeTransfer),
		c.numbers.Temperature(b.TemperatureC, b.TemperatureUncertaintyC), c.literally(b.Note),
	})
	c.beside(item{c.label("baseline"), c.sheet.sideHead, 0}, sideHead, text, c.sheet.note)
}

// resistanceScale suits the resistances of a cell's baseline and of its judged measurement, which are compared.
func resistanceScale(cell *health.Cell) notation.Scale {
	values := []fit.Value{cell.Baseline.ChargeTransfer, cell.Baseline.Ohmic}
	if m := latest(cell); m != nil {
		values = append(values, m.OhmicAtReference, m.ChargeTransferAtReference, m.ACResistance1kHz)
	}
	return notation.Ohm.Scale(values...)
}

// resistances says what a cell's judged measurement comes to at the reference temperature, and at 1 kHz as it was measured.
func (c *composition) resistances(cell *health.Cell) {
	m := latest(cell)
	if m == nil {
		return
	}
	scale := resistanceScale(cell)
	value := func(v fit.Value) string {
		if !v.Known() {
			return ""
		}
		return c.numbers.Value(v, scale)
	}
	words := struct{ Reference, Ohmic, ChargeTransfer, AC string }{
		c.conditions().Reference, value(m.OhmicAtReference), value(m.ChargeTransferAtReference), value(m.ACResistance1kHz),
	}
	if words.Ohmic+words.ChargeTransfer+words.AC != "" {
		c.beside(item{c.label("resistances"), c.sheet.sideHead, 0}, sideHead, c.say("resistances", words), c.sheet.note)
	}
}

// source names what growth is measured against; blank where the job does not say.
func (c *composition) source(s job.BaselineSource) string {
	if s == "" {
		return ""
	}
	return c.doc.Words.Say("baseline."+string(s), nil)
}
