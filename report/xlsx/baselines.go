package xlsx

import (
	"iter"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report/notation"
)

// baselines are what growths are measured against, a row a cell.
func (b *book) baselines() error {
	s := b.newSheet("baselines", widths(b.founded), firstRow)
	s.top("baselines")
	table(s, "baselines", firstRow, b.founded, b.eachCell())
	s.protect()
	return s.end()
}

// cells of the assessment with their indices.
func (b *book) cells() iter.Seq2[int, *health.Cell] { return b.doc.Assessment.Cells.All() }

// eachCell are the cells of the assessment.
func (b *book) eachCell() iter.Seq[*health.Cell] {
	return func(yield func(*health.Cell) bool) {
		for _, c := range b.cells() {
			if !yield(c) {
				return
			}
		}
	}
}

func (b *book) baselineColumns() *columns[*health.Cell] {
	c, ohm := newColumns[*health.Cell](), b.plan.resistance
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(c *health.Cell) string { return c.Name })
	c.words("source", b.say("column.source"), wide, func(c *health.Cell) string { return b.baselineWords(c) })
	c.centred("measured_at", b.say("column.measured_at"), middling, func(c *health.Cell, _ int) cell {
		if c.Baseline.MeasuredAt.IsZero() {
			return cell{}
		}
		return cell{value: c.Baseline.MeasuredAt, look: look{format: dateFormat, side: "center"}}
	})
	c.add("temperature", b.head("temperature", notation.Celsius), middling, func(c *health.Cell, _ int) cell {
		if v := c.Baseline.TemperatureUncertaintyC; v > 0 {
			return estimate(fit.NewValue(c.Baseline.TemperatureC, v), notation.Celsius.Scale())
		}
		return cell{value: c.Baseline.TemperatureC, look: look{format: "0.0"}}
	})
	c.value(b, "ohmic", b.say("column.ohmic"), ohm, func(c *health.Cell) fit.Value { return c.Baseline.Ohmic })
	c.value(b, "charge_transfer", b.say("column.charge_transfer"), ohm, func(c *health.Cell) fit.Value { return c.Baseline.ChargeTransfer })
	c.value(b, "all_arcs", b.say("column.all_arcs"), ohm, func(c *health.Cell) fit.Value { return c.Baseline.Polarisation })
	c.value(b, "ac", b.say("column.ac_resistance"), ohm, func(c *health.Cell) fit.Value { return c.Baseline.ACResistance1kHz })
	c.add("capacity", b.head("capacity", notation.AmpereHour), middling, func(c *health.Cell, _ int) cell {
		return estimate(c.Baseline.CapacityAh, notation.AmpereHour.Scale())
	})
	c.numbers("soc", b.head("soc", notation.Percent), "0.0", func(c *health.Cell) *float64 { return c.Baseline.SOCPercent })
	c.words("reference", b.say("column.reference_cells"), wide, func(c *health.Cell) string { return strings.Join(c.Baseline.Cells, ", ") })
	c.words("note", b.say("column.note"), wider, func(c *health.Cell) string { return c.Baseline.Note })
	return c
}

func (b *book) baselineWords(c *health.Cell) string {
	if c.Baseline.Source == "" {
		return ""
	}
	return b.always("baseline." + string(c.Baseline.Source))
}
