package pdf

import (
	"math"
	"strings"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// quantitiesBeside is how many quantities a table of groups holds side by side.
const quantitiesBeside = 3

// gradeCounts is the table of grades: what they ask for, and how many cells have them.
func (c *composition) gradeCounts(l *health.Lot) {
	t := table{columns: []column{
		{head: c.label("grade"), most: 30}, {head: c.label("cells"), setting: rightward}, {head: c.label("share"), setting: rightward},
		{head: c.label("grade-limits"), stretch: 1},
	}}
	for _, g := range l.Grades {
		name, asks := c.literally(g.Grade), ""
		if g.Grade == "" {
			name, asks = c.say("grade.none", nil), c.say("grade.none-asks", nil)
		}
		for _, grade := range c.job.Grades {
			if grade.Name == g.Grade {
				var limits []string
				for _, limit := range grade.Limits {
					limits = append(limits, c.say("limit", c.limit(limit.Quantity, limit.Side, limit.Bound)))
				}
				asks = strings.Join(limits, "; ")
			}
		}
		bold := c.sheet.table.bold()
		record := entries(name, c.count(g.Cells), c.numbers.Percentage(float64(g.Cells)/float64(max(l.Cells, 1)), 1), asks)
		record[0].style = &bold
		t.records = append(t.records, record)
	}
	if len(t.records) > 0 {
		c.subheading("grades")
		t.note = c.say("grades-note", nil)
		c.addTable(t)
	}
}

// missed are the limits of the better grade that a cell does not meet, and by how much.
func (c *composition) missed(g *health.Grading) []string {
	var list []string
	for _, m := range g.Missed {
		by := ""
		if x := math.Abs(m.By); x > 0 && !math.IsInf(x, 0) {
			by = c.digits(x, 2, notation.UnitOf(m.Quantity).Scale(m.Value))
		}
		list = append(list, c.say("missed", struct{ Quantity, By string }{c.symbol(m.Quantity), by}))
	}
	return list
}

// divisions is the table of the parts that a column of the job divides the lot into, such as pallets, and which of
// them depart from the rest.
func (c *composition) divisions(l *health.Lot) {
	if len(l.Groups) < 2 {
		return
	}
	c.subheading("divisions")
	c.holdParagraph(c.say("divisions", struct{ Column string }{c.literally(l.GroupedBy)}), c.sheet.note)
	c.hold(empty(module / 2))
	for from := 0; from < max(len(l.Quantities), 1); from += quantitiesBeside {
		c.addTable(c.division(l, from))
		c.space(module)
	}
	for i := range l.Quantities {
		if b := l.Quantities[i].Between; b != nil && !math.IsNaN(b.F) {
			c.paragraph(c.say("between", c.between(&l.Quantities[i])), c.sheet.note)
		}
	}
}

// division is a table of the groups with some of the quantities.
func (c *composition) division(l *health.Lot, from int) table {
	quantities := l.Quantities[from:min(from+quantitiesBeside, len(l.Quantities))]
	t := table{columns: []column{
		{head: c.literally(l.GroupedBy), most: 34}, {head: c.label("cells"), setting: rightward},
		{head: c.doc.Words.Verdict(health.Pass), setting: rightward}, {head: c.doc.Words.Verdict(health.Fail), setting: rightward},
		{head: c.doc.Words.Verdict(health.NotEvaluated), setting: rightward, most: 20},
	}}
	for i := range quantities {
		t.columns = append(t.columns, column{head: c.headOf(quantities[i].Quantity, scaleOf(&quantities[i])), setting: byPoint, least: 13},
			column{head: c.differenceHead(&quantities[i]), setting: rightward, least: 22})
	}
	for g := range l.Groups {
		group, bold := &l.Groups[g], c.sheet.table.bold()
		n := group.Counts
		record := entries(c.groupName(group.Name), c.count(group.Cells), c.count(n.Pass+n.ConditionalPass), c.count(n.Fail+n.ConditionalFail), c.count(n.NotEvaluated))
		record[0].style = &bold
		for i := range quantities {
			record = append(record, c.groupEntries(&quantities[i], &group.Quantities[from+i])...)
		}
		t.records = append(t.records, record)
	}
	t.note = c.say("divisions-note", nil)
	return t.omit("0")
}

// differenceScale is what the differences between groups are written in: per cent of growths and resistances.
func differenceScale(q *health.LotQuantity) notation.Scale {
	if q.Logarithmic {
		return notation.Percent.Scale()
	}
	return scaleOf(q)
}

func (c *composition) differenceHead(q *health.LotQuantity) string {
	if s := differenceScale(q).Symbol; s != "" {
		return c.label("difference") + " /\u00a0" + s
	}
	return c.label("difference")
}

func (c *composition) groupName(name string) string {
	if name == "" {
		return c.notStated()
	}
	return c.literally(name)
}

// groupEntries are the mean of a group and how far it is from the rest, in bold where that is more than chance.
func (c *composition) groupEntries(of *health.LotQuantity, q *health.GroupQuantity) []entry {
	if q.Summary == nil {
		return entries(notation.NotHad, notation.NotHad)
	}
	record := entries(c.spreadNumber(q.Summary.Mean, of), notation.NotHad)
	if math.IsNaN(q.Difference) {
		return record
	}
	u := (q.Interval.Upper - q.Interval.Lower) / 2
	record[1].text = c.numbers.Interval(q.Interval.Lower, q.Interval.Upper, u, differenceScale(of))
	if q.Departs {
		bold := c.sheet.table.bold().in(verdictColours[health.Fail])
		record[0].style, record[1].style = &bold, &bold
	}
	return record
}

// between is an analysis of variance in words; Small says that P is only a bound.
type between struct {
	Quantity, F, Between, Within, P, Spread, Inside string
	Small                                           bool
}

func (c *composition) between(q *health.LotQuantity) between {
	b, s := q.Between, differenceScale(q)
	var spread string // blank where the parts' means spread no more than their cells explain
	if b.Spread > 0 {
		spread = c.uncertaintyWithUnit(b.Spread, s)
	}
	whole := func(x float64) string { return c.numbers.Fixed(x, 0, notation.One.Scale()) }
	p, small := strings.CutPrefix(c.chance(b.P), "<\u00a0")
	return between{Quantity: capitalised(c.doc.Words.Quantity(q.Quantity)), F: c.numbers.Fixed(b.F, 1, notation.One.Scale()),
		Between: whole(b.NumeratorFreedom), Within: whole(b.ErrorFreedom), P: p, Small: small,
		Spread: spread, Inside: c.uncertaintyWithUnit(b.Within, s)}
}

// departures sums up how the cells stand against the reference cells.
func (c *composition) departures(l *health.Lot) {
	if len(l.Departures) == 0 {
		return
	}
	c.subheading("departures")
	for _, d := range l.Departures {
		c.paragraph(c.say("departures", struct {
			Quantity                                string
			Cells, Above, Below, Measurement, Group int
		}{capitalised(c.doc.Words.Quantity(d.Quantity)), d.Cells, d.Above, d.Below, d.MeasurementDominates, d.GroupDominates}), c.sheet.note)
	}
}
