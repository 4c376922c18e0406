package pdf

import (
	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
)

// sideHead is the room left of a text for its side head, in mm.
const sideHead = 27

// baseline says what a cell's growth is measured against.
func (c *composition) baseline(cell *health.Cell) {
	b := &cell.Baseline
	scale := report.Ohm.Scale(b.ChargeTransfer, b.Ohmic)
	value := func(v fit.Value) string {
		if !v.Known() {
			return ""
		}
		return c.numbers.Value(v, scale)
	}
	text := c.say("baseline", struct{ Source, Ohmic, ChargeTransfer, Temperature, Note string }{
		c.doc.Words.Say("baseline."+string(b.Source), nil), value(b.Ohmic), value(b.ChargeTransfer),
		c.numbers.Temperature(b.TemperatureC, b.TemperatureUncertaintyC), c.literally(b.Note),
	})
	c.beside(item{c.label("baseline"), c.sheet.sideHead, 0}, sideHead, text, c.sheet.note)
}
