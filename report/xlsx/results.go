package xlsx

import (
	"fmt"
	"iter"
	"math"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// measured is a row of the results: a measurement of a cell.
type measured struct {
	*health.Measurement
	cell *health.Cell
	i, k int
}

// fitted is the measurement's fit, empty where there is none.
func (m measured) fitted() *fit.Result {
	if m.Fit == nil {
		return &fit.Result{}
	}
	return m.Fit
}

// measurements in the order of the job.
func (b *book) measurements() iter.Seq[measured] {
	return func(yield func(measured) bool) {
		for i, cell := range b.doc.Assessment.Cells.All() {
			for k := range cell.Measurements {
				if !yield(measured{&cell.Measurements[k], cell, i, k}) {
					return
				}
			}
		}
	}
}

func (b *book) results() error {
	s := b.newSheet("results", widths(b.measured), firstRow)
	s.top("results")
	table(s, "results", firstRow, b.measured, b.measurements())
	s.protect()
	return s.end()
}

func (b *book) resultColumns() *columns[measured] {
	c := newColumns[measured]()
	b.identity(c)
	c.numbers("soc", b.head("soc", notation.Percent), "0.0", func(m measured) *float64 { return m.Row.SOCPercent })
	c.numbers("cycles", b.say("column.cycles"), "0", func(m measured) *float64 { return m.Row.Cycles })
	c.numbers("throughput", b.head("throughput", notation.AmpereHour), "0", func(m measured) *float64 { return m.Row.ThroughputAh })
	c.numbers("capacity", b.head("capacity", notation.AmpereHour), "0.000", func(m measured) *float64 { return m.Row.CapacityAh })
	c.words("accepted", b.say("column.accepted"), 11, func(m measured) string { return b.yesNo(m.Quality.Accepted) })
	b.asMeasured(c)
	b.compared(c)
	c.words("why", b.say("column.why"), wider, b.reasons)
	b.circumstances(c)
	return c
}

// head is a column's head with its unit.
func (b *book) head(key string, u notation.Unit) string {
	return withUnit(b.say("column."+key), u.Scale())
}

func (b *book) yesNo(yes bool) string {
	if yes {
		return b.say("yes")
	}
	return b.say("no")
}

// identity says which measurement a row is.
func (b *book) identity(c *columns[measured]) {
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(m measured) string { return m.cell.Name })
	c.centred("measured_at", b.say("column.measured_at"), 15, func(m measured, _ int) cell { return moment(m.Row) })
	c.words("file", b.say("column.file"), b.plan.fileWidth, func(m measured) string { return m.Row.File })
	c.add("temperature", b.head("temperature", notation.Celsius), middling, func(m measured, _ int) cell {
		return estimate(fit.NewValue(m.Row.TemperatureC, m.Row.TemperatureUncertaintyC), notation.Celsius.Scale())
	})
	c.add("u temperature", withUnit(b.say("u", b.say("column.temperature")), notation.Celsius.Scale()), middling, func(m measured, _ int) cell {
		return uncertainty(fit.NewValue(m.Row.TemperatureC, m.Row.TemperatureUncertaintyC), notation.Celsius.Scale())
	})
}

func moment(r *job.Measurement) cell {
	switch {
	case r.MeasuredAt.IsZero():
		return cell{}
	case r.HasTime:
		return cell{value: r.MeasuredAt, look: look{format: timeFormat, side: "center"}}
	}
	return cell{value: r.MeasuredAt, look: look{format: dateFormat, side: "center"}}
}

// asMeasured are the resistances at the temperature of the measurement.
func (b *book) asMeasured(c *columns[measured]) {
	ohm := b.plan.resistance
	c.value(b, "ohmic", b.say("column.ohmic"), ohm, func(m measured) fit.Value { return m.fitted().Ohmic })
	c.value(b, "film", b.say("column.film"), ohm, func(m measured) fit.Value { return m.fitted().Film })
	c.value(b, "charge_transfer", b.say("column.charge_transfer"), ohm, func(m measured) fit.Value { return m.fitted().ChargeTransfer })
	c.value(b, "all_arcs", b.say("column.all_arcs"), ohm, func(m measured) fit.Value { return m.fitted().Polarisation })
	c.value(b, string(job.ACResistance1kHzOhm), b.say("column.ac_resistance"), ohm, func(m measured) fit.Value { return m.ACResistance1kHz })
}

// compared are the quantities that follow from a measurement, as formulas on it where that gives them.
func (b *book) compared(c *columns[measured]) {
	for _, q := range []job.Quantity{job.OhmicOhm, job.ChargeTransferOhm, job.OhmicGrowth, job.ChargeTransferGrowth,
		job.TotalResistanceGrowth, job.CapacityRetention, job.ResistanceStateOfHealth} {
		name, scale := b.say("column."+string(q)), b.scaleOf(q)
		c.add(string(q), withUnit(name, scale), middling, func(m measured, at int) cell {
			v := report.Measured(m.Measurement, q)
			shown := estimate(v, scale)
			if f := b.derivation(c, q, m, at); v.Known() && f.gives(v.Estimate()) {
				shown.formula = f.formula
			}
			return shown
		})
		c.add("u "+string(q), withUnit(b.say("u", name), scale), middling, func(m measured, at int) cell {
			v := report.Measured(m.Measurement, q)
			if v.Known() && q == job.CapacityRetention {
				return unstated()
			}
			shown := uncertainty(v, scale)
			if f := b.derivedUncertainty(c, q, m, at); v.Known() && f.gives(v.StandardUncertainty()) {
				shown.formula = f.formula
			}
			return shown
		})
	}
}

// reasons says why a row has blanks.
func (b *book) reasons(m measured) string {
	return strings.Join(report.MissingReasons(b.doc, m.cell, m.Measurement), " ")
}

// circumstances are what else the measurement table says.
func (b *book) circumstances(c *columns[measured]) {
	row := func(key string, of func(r *job.Measurement) string) {
		c.words(key, b.say("column."+key), middling, func(m measured) string { return of(m.Row) })
	}
	number := func(key string, u notation.Unit, of func(r *job.Measurement) *float64) {
		c.numbers(key, b.head(key, u), "", func(m measured) *float64 { return of(m.Row) })
	}
	row("sensing", func(r *job.Measurement) string { return r.Sensing })
	row("control", func(r *job.Measurement) string { return r.Control })
	number("amplitude_a", notation.Ampere, func(r *job.Measurement) *float64 { return r.AmplitudeA })
	number("amplitude_v", notation.Volt, func(r *job.Measurement) *float64 { return r.AmplitudeV })
	number("rest", notation.Minute, func(r *job.Measurement) *float64 { return r.RestMinutes })
	number("ocv_before", notation.Volt, func(r *job.Measurement) *float64 { return r.OCVBeforeV })
	number("ocv_after", notation.Volt, func(r *job.Measurement) *float64 { return r.OCVAfterV })
	row("instrument", func(r *job.Measurement) string { return r.Instrument })
	row("fixture", func(r *job.Measurement) string { return r.Fixture })
	row("operator", func(r *job.Measurement) string { return r.Operator })
	row("remarks", func(r *job.Measurement) string { return r.Remarks })
	row("accept", func(r *job.Measurement) string { return r.Accept })
	for i, column := range b.doc.Assessment.Job.ExtraColumns {
		c.words(fmt.Sprintf("extra %d", i), column, middling, func(m measured) string { return m.Row.Extra[column] })
	}
}

// derived is a formula with the value, in the quantity's unit, that its operands give.
type derived struct {
	formula string
	value   float64
}

// gives reports whether a formula reproduces a number, to the digits that a workbook keeps. Where it does not, the
// number stands without it: a workbook that shows another number than the report would be worse than one less live.
func (d derived) gives(x float64) bool {
	const tolerance = 1e-11
	return d.formula != "" && math.Abs(d.value-x) <= tolerance*math.Abs(x)
}
