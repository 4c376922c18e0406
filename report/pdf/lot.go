package pdf

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// fewestOfLot is the number of cells from which on their spread is described; what a job asks for by itself, such as
// acceptance sampling or grades, is shown of any lot.
const fewestOfLot = 10

// lot is what the cells of a job show together: the decision about the delivery, how the quantities spread, what
// stands out, grades and groups.
func (c *composition) lot() {
	l := c.doc.Assessment.Lot
	if !lotShown(l) {
		return
	}
	c.section("lot")
	c.holdParagraph(c.say("lot.of", c.lotOf(l)), c.sheet.note)
	c.inspection(l.Sampling)
	c.gradeCounts(l)
	if l.Cells >= fewestOfLot {
		c.spreads(l)
		c.outliers(l)
	}
	c.divisions(l)
	c.departures(l)
	c.matching(l.Grouping)
}

// lotShown reports whether a lot has a section of its own.
func lotShown(l *health.Lot) bool {
	return l != nil && (l.Cells >= fewestOfLot || l.Sampling != nil || l.Grouping != nil || len(l.Grades) > 0 || len(l.Groups) >= 2)
}

// lotOf is which cells make a lot.
type lotOf struct {
	Cells     int
	Reference string // cells that others are compared with, which are none of the lot
}

func (c *composition) lotOf(l *health.Lot) lotOf {
	of := lotOf{Cells: l.Cells}
	if len(l.Reference) > 0 {
		of.Reference = c.named(l.Reference)
	}
	return of
}

// scaleOf suits the values of a lot's quantity.
func scaleOf(q *health.LotQuantity) notation.Scale {
	return notation.UnitOf(q.Quantity).Scale(fit.NewValue(q.Summary.Median, 0))
}

// headOf is the head of a column with a quantity in a unit.
func (c *composition) headOf(q job.Quantity, s notation.Scale) string {
	return c.sayLines("head.quantity", struct{ Quantity, Unit, Reference string }{string(q), s.Symbol, c.conditions().Reference})
}

// spreads is the table of how each quantity spreads, then each by itself.
func (c *composition) spreads(l *health.Lot) {
	t := table{columns: []column{
		{head: c.label("lot.quantity"), most: 50}, {head: c.label("lot.count"), setting: rightward},
		{head: c.label("lot.mean"), setting: byPoint}, {head: c.label("lot.median"), setting: byPoint},
		{head: c.label("lot.deviation"), setting: byPoint}, {head: c.label("lot.robust"), setting: byPoint},
		{head: c.label("lot.least"), setting: byPoint}, {head: c.say("lot.quantile", c.perCent(0.05)), setting: byPoint},
		{head: c.say("lot.quantile", c.perCent(0.95)), setting: byPoint}, {head: c.label("lot.most"), setting: byPoint},
	}}
	for i := range l.Quantities {
		t.records = append(t.records, c.spreadRecord(&l.Quantities[i]))
	}
	if len(t.records) == 0 {
		return
	}
	c.subheading("lot.spreads")
	t.note = c.say("lot.spreads-note", nil)
	c.addTable(t)
	for i := range l.Quantities {
		if l.Quantities[i].Summary.Count >= fewestOfLot {
			c.spread(&l.Quantities[i])
		}
	}
}

func (c *composition) spreadRecord(q *health.LotQuantity) []entry {
	s, of := scaleOf(q), q.Summary
	number := func(x float64) string { return c.spreadNumber(x, q) }
	name := capitalised(c.doc.Words.Quantity(q.Quantity))
	if s.Symbol != "" {
		name += " / " + s.Symbol
	}
	return entries(name, c.count(of.Count), number(of.Mean), number(of.Median), c.numbers.Uncertainty(of.StandardDeviation, s),
		c.numbers.Uncertainty(of.RobustSpread, s), number(of.Least), number(quantile(of, 0.05)), number(quantile(of, 0.95)), number(of.Most))
}

// spreadNumber writes a number to the digits that the standard deviation of the lot gives it.
func (c *composition) spreadNumber(x float64, q *health.LotQuantity) string {
	s := scaleOf(q)
	return c.numbers.Fixed(x, s.Decimals(spreadOf(q)), s)
}

// spreadOf is the standard deviation of a lot, or where it has none a hundredth of its median.
func spreadOf(q *health.LotQuantity) float64 {
	if u := q.Summary.StandardDeviation; u > 0 {
		return u
	}
	return math.Abs(q.Summary.Median) / 100
}

func quantile(of health.LotSummary, p float64) float64 {
	for _, q := range of.Quantiles {
		if q.P == p {
			return q.Value
		}
	}
	return math.NaN()
}

// perCent writes a fraction without decimals.
func (c *composition) perCent(fraction float64) string { return c.numbers.Percentage(fraction, 0) }
