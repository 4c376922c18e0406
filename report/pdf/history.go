package pdf

import (
	"slices"
	"strconv"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report/notation"
)

// history is the table of a cell's measurements over time.
func (c *composition) history(cell *health.Cell) {
	if len(cell.Measurements) == 0 {
		return
	}
	ohmic, film, chargeTransfer := resistances(cell, fit.Ohmic), resistances(cell, fit.Film), resistances(cell, fit.ChargeTransfer)
	scale := notation.Ohm.Scale(append(append(ohmic, film...), chargeTransfer...)...)
	t := table{tinted: cell.Latest + 1, columns: []column{
		{head: c.label("date")},
		{head: c.label("temperature"), setting: byPoint},
		{head: c.label("soc"), setting: rightward},
		{head: c.label("cycles"), setting: rightward},
		{head: c.label("throughput"), setting: rightward},
		{head: c.say("column.ohmic", scale.Symbol), setting: byPoint},
		{head: c.say("column.film", scale.Symbol), setting: byPoint},
		{head: c.say("column.charge-transfer", scale.Symbol), setting: byPoint},
		{head: c.sayLines("head.ohmic", nil), setting: byPoint},
		{head: c.sayLines("head.charge-transfer", nil), setting: byPoint},
		{head: c.label("quality"), most: 22},
	}}
	for i := range cell.Measurements {
		t.records = append(t.records, c.historyRecord(cell, i, scale))
	}
	if t.says(notation.NotHad)[cyclesColumn] {
		t.blank(cyclesColumn + 1) // throughput says the same, and there is no room for both
	}
	c.space(module)
	t.note = c.say("history-note", c.ruleData())
	c.addTable(t.omit(notation.NotHad))
	c.reasons(cell)
	c.remarks(cell)
}

// cyclesColumn is the place of the cycles in the table, before the throughput.
const cyclesColumn = 3

// resistances of one element over a cell's measurements.
func resistances(cell *health.Cell, e fit.Element) []fit.Value {
	values := make([]fit.Value, len(cell.Measurements))
	for i, m := range cell.Measurements {
		if m.Fit != nil {
			values[i] = m.Fit.Resistance(e)
		}
	}
	return values
}

func (c *composition) historyRecord(cell *health.Cell, index int, scale notation.Scale) []entry {
	m := &cell.Measurements[index]
	return entries(
		c.numbers.Date(m.Row.MeasuredAt),
		c.numbers.Number(fit.NewValue(m.Row.TemperatureC, m.Row.TemperatureUncertaintyC), notation.Celsius.Scale()),
		c.optional(m.Row.SOCPercent), c.optional(m.Row.Cycles), c.optional(m.Row.ThroughputAh),
		c.resistance(m, fit.Ohmic, scale), c.resistance(m, fit.Film, scale), c.resistance(m, fit.ChargeTransfer, scale),
		c.growth(m.OhmicGrowth), c.growth(m.ChargeTransferGrowth),
		c.standing(cell, index),
	)
}

func (c *composition) optional(v *float64) string {
	if v == nil {
		return notation.NotHad
	}
	return c.numbers.Fixed(*v, 0, notation.One.Scale())
}

func (c *composition) resistance(m *health.Measurement, e fit.Element, scale notation.Scale) string {
	if m.Fit == nil {
		return notation.NotHad
	}
	return c.numbers.Number(m.Fit.Resistance(e), scale)
}

// standing is what a measurement is among the others, and how it stood the checks.
func (c *composition) standing(cell *health.Cell, index int) string {
	m := &cell.Measurements[index]
	var words []string
	switch {
	case index == cell.Latest:
		words = append(words, c.label("judged"))
	case isBaseline(cell, index):
		words = append(words, c.label("baseline-row"))
	}
	switch {
	case m.Quality.AcceptedByHand != "":
		words = append(words, c.label("accepted-by-hand"))
	case !m.Quality.Accepted:
		words = append(words, c.label("rejected"))
	case gravest(m) == health.Warning:
		words = append(words, c.label("warning"))
	}
	return strings.Join(words, ", ")
}

func isBaseline(cell *health.Cell, index int) bool {
	return slices.Contains(cell.Baseline.Measurements, index)
}

// gravest is the severity of a measurement's gravest finding.
func gravest(m *health.Measurement) (s health.Severity) {
	for _, f := range m.Quality.Findings {
		s = max(s, f.Severity)
	}
	return s
}

// missing is why growths are missing: one kind of reason, for some of the measurements.
type missing struct {
	kind    string
	reason  string // of the last of them
	varying bool   // the numbers in it differ
	dates   []string
}

// reasons says why growths are missing in the table, each kind of reason once.
func (c *composition) reasons(cell *health.Cell) {
	for _, m := range c.missing(cell) {
		c.paragraph(c.say("missing", struct {
			Reason, On string
			Varying    bool
		}{c.literally(m.reason), c.some(m.dates), m.varying}), c.sheet.small)
	}
}

func (c *composition) missing(cell *health.Cell) (list []missing) {
	for i := range cell.Measurements {
		m := &cell.Measurements[i]
		for _, g := range []health.Growth{m.OhmicGrowth, m.ChargeTransferGrowth} {
			if g.Ratio.Known() || g.Reason == "" || i == cell.Latest && saidOf(cell, g.Reason) {
				continue
			}
			kind := kindOf(g.Because)
			if kind == "" {
				kind = g.Reason
			}
			at := slices.IndexFunc(list, func(m missing) bool { return m.kind == kind })
			if at < 0 {
				at, list = len(list), append(list, missing{kind: kind, reason: g.Reason})
			}
			list[at].add(g.Reason, c.numbers.Date(m.Row.MeasuredAt))
		}
	}
	return list
}

// saidOf reports whether a criterion of a cell has given a reason already.
func saidOf(cell *health.Cell, reason string) bool {
	return slices.ContainsFunc(cell.Criteria, func(k health.Criterion) bool { return k.Verdict == health.NotEvaluated && k.Reason == reason })
}

func (m *missing) add(reason, day string) {
	m.varying = m.varying || reason != m.reason
	m.reason = reason
	if !slices.Contains(m.dates, day) {
		m.dates = append(m.dates, day)
	}
}

// kindOf is what a statement says without its numbers: its code, and the words and statements in it.
func kindOf(s health.Statement) string {
	kind := s.Code
	for _, f := range s.Facts {
		switch {
		case f.Within != nil:
			kind += " " + kindOf(*f.Within)
		case f.Unit == health.Word:
			kind += " " + f.Text
		}
	}
	return kind
}

// mostDates is how many dates a sentence names before it counts the rest.
const mostDates = 4

func (c *composition) some(dates []string) string {
	if told(len(dates), mostDates) == len(dates) {
		return strings.Join(dates, ", ")
	}
	return c.say("and-more", struct{ First, More string }{
		strings.Join(dates[:mostDates], ", "), strconv.Itoa(len(dates) - mostDates),
	})
}
