package pdf

import (
	"math"
	"slices"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// summaryTable has a row for each cell.
func (c *composition) summaryTable() {
	c.space(module)
	quantities, scales := c.shown.quantities, c.shown.scales
	t := table{columns: []column{{head: c.label("verdict"), most: c.verdictRoom()}, {head: c.label("cell"), most: 30}}}
	for i, q := range quantities {
		setting := byPoint
		if isGrowth(q) && !c.lengthy() {
			setting = rightward
		}
		t.columns = append(t.columns, column{head: c.headOf(q, scales[i]), setting: setting})
	}
	t.columns = append(t.columns, column{head: c.label("conformity"), setting: rightward, least: 17},
		column{head: c.label("grade"), most: 12}, column{head: c.label("reason"), stretch: 1})
	t.many = c.summaryListing(quantities, scales)
	t.note = c.say("summary-note", c.ruleData())
	if left := c.leftOfSummary(quantities); len(left) > 0 {
		t.note += " " + c.say("summary-left", left)
	}
	c.addTable(t.omit(notation.NotHad))
}

// summaryListing are the records, which say as much or little whenever they are made as they do now.
func (c *composition) summaryListing(quantities []job.Quantity, scales []notation.Scale) listing {
	give := c.give
	return listing{c.doc.Assessment.Cells.Len(), func(i int) []entry {
		later := c.give
		defer func() { c.give = later }()
		c.give = give
		return c.summaryRecord(i, quantities, scales)
	}}
}

// verdictRoom is the most that the column of verdicts may take, in mm: in a list of many cells each stands on one line.
func (c *composition) verdictRoom() float64 {
	if c.lengthy() {
		return 34
	}
	return 21
}

// summarised is what the summary shows of each cell, with the scales of its columns, and what is particular about the cells.
type summarised struct {
	quantities []job.Quantity
	scales     []notation.Scale
	unstated   bool // a value without a stated uncertainty is judged
	partly     bool // a cell fails of which a limited quantity could not be had
	gradeOnly  bool // a cell has a grade and does not pass the limits of the job
}

// summarise finds that out, once for the whole report.
func (c *composition) summarise() (s summarised) {
	s.quantities = c.summarisedQuantities()
	values := make([][]fit.Value, len(s.quantities))
	for _, cell := range c.doc.Assessment.Cells.All() {
		for i, q := range s.quantities {
			if k := criterionOf(cell, q); k != nil && k.Value.Known() {
				values[i] = append(values[i], k.Value)
			}
		}
		p, all := leastConformity(cell)
		s.partly = s.partly || p <= 1 && !all && cell.Verdict != health.NotEvaluated
		s.gradeOnly = s.gradeOnly || c.gradeOnly(cell)
		s.unstated = s.unstated || slices.ContainsFunc(cell.Criteria, func(k health.Criterion) bool { return k.Unstated })
	}
	for i, q := range s.quantities {
		s.scales = append(s.scales, notation.UnitOf(q).Scale(values[i]...))
	}
	return s
}

// summarisedQuantities are those that are limited, or where nothing is the growths.
func (c *composition) summarisedQuantities() (quantities []job.Quantity) {
	const most = 3
	for _, l := range c.job.Limits {
		if !slices.Contains(quantities, l.Quantity) && len(quantities) < most {
			quantities = append(quantities, l.Quantity)
		}
	}
	if len(quantities) == 0 {
		quantities = []job.Quantity{job.ChargeTransferGrowth, job.OhmicGrowth}
	}
	return quantities
}

// leftOfSummary are the limited quantities that the summary has no column for.
func (c *composition) leftOfSummary(shown []job.Quantity) (names []string) {
	for _, l := range c.job.Limits {
		if name := c.doc.Words.Quantity(l.Quantity); !slices.Contains(shown, l.Quantity) && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// criterionOf is a cell's first criterion of a quantity, nil where it has none.
func criterionOf(cell *health.Cell, q job.Quantity) *health.Criterion {
	for i := range cell.Criteria {
		if cell.Criteria[i].Quantity == q {
			return &cell.Criteria[i]
		}
	}
	return nil
}

func (c *composition) summaryRecord(index int, quantities []job.Quantity, scales []notation.Scale) []entry {
	cell := c.doc.Assessment.Cells.At(index)
	verdict := c.sheet.table.bold().in(verdictColours[cell.Verdict])
	name := c.sheet.table.bold()
	record := []entry{
		{text: c.doc.Words.Verdict(cell.Verdict), style: &verdict, mark: verdictMark(cell.Verdict, 2.6, module/4+c.sheet.table.pitch/2)},
		{text: c.literally(cell.Name), style: &name, link: c.places[index]},
	}
	for i, q := range quantities {
		record = append(record, entry{text: c.summaryValue(cell, q, scales[i])})
	}
	return append(record, entries(c.leastConformity(cell), c.grade(cell), c.summaryReason(cell))...)
}

// summaryValue is a quantity of a cell's judged measurement with its expanded uncertainty, of a growth with its coverage interval:
// as the cell's section writes it.
func (c *composition) summaryValue(cell *health.Cell, q job.Quantity, s notation.Scale) string {
	m, k := latest(cell), criterionOf(cell, q)
	switch {
	case k == nil && m != nil && q == job.ChargeTransferGrowth:
		return c.grown(m.ChargeTransferGrowth)
	case k == nil && m != nil && q == job.OhmicGrowth:
		return c.grown(m.OhmicGrowth)
	case k == nil || !k.Value.Known():
		return notation.NotHad
	case k.Unstated || !(k.ExpandedUncertainty > 0):
		return c.numbers.Fixed(k.Value.Estimate(), 3, s)
	case isGrowth(q):
		return c.withInterval(k.Value.Estimate(), c.coverage()*k.Value.Relative(), k.ExpandedUncertainty)
	}
	return c.numbers.PlusMinus(k.Value.Estimate(), k.ExpandedUncertainty, s)
}

// grown is a ratio with its coverage interval.
func (c *composition) grown(g health.Growth) string {
	if !(g.Ratio.StandardUncertainty() > 0) {
		return c.growth(g)
	}
	return c.withInterval(g.Ratio.Estimate(), c.coverage()*g.LogU, c.coverage()*g.Ratio.StandardUncertainty())
}

// withInterval writes a ratio and below it the ends of its interval, which is even on the logarithm, to the digits of its expanded
// uncertainty; where there are many cells it is the ratio with the factor to those ends, on one line.
func (c *composition) withInterval(ratio, expandedLogarithm, u float64) string {
	one, spread := notation.One.Scale(), math.Exp(expandedLogarithm)
	if c.lengthy() {
		return c.numbers.Ratio(ratio, expandedLogarithm)
	}
	return c.rounded(ratio, u, one) + "\n" + c.numbers.Interval(ratio/spread, ratio*spread, u, one)
}

// growth is a ratio with the factor to the ends of its coverage interval.
func (c *composition) growth(g health.Growth) string {
	switch {
	case !g.Ratio.Known():
		return notation.NotHad
	case g.Ratio.StandardUncertainty() == 0: // the baseline itself
		return c.numbers.Stated(g.Ratio.Estimate(), notation.One.Scale())
	}
	return c.numbers.Ratio(g.Ratio.Estimate(), c.coverage()*g.LogU)
}

// grade is a cell's grade, in brackets where the cell meets its limits and not those of the job.
func (c *composition) grade(cell *health.Cell) string {
	if c.gradeOnly(cell) {
		return "(" + c.literally(cell.Grade) + ")"
	}
	return c.literally(cell.Grade)
}

// gradeOnly reports whether a cell has a grade and does not pass the limits of the job, which may be stricter or others.
func (c *composition) gradeOnly(cell *health.Cell) bool { return cell.Grade != "" && !c.passes(cell) }

// passes reports whether a cell passes the limits of the job, conditionally or not, or there are none.
func (c *composition) passes(cell *health.Cell) bool {
	return cell.Verdict == health.Pass || cell.Verdict == health.ConditionalPass || len(c.job.Limits) == 0
}

// leastConformity writes the smallest probability with which a quantity of the cell conforms. Of a cell that fails although a
// limited quantity could not be had it is a bound, since that one might be smaller; one that is not evaluated has none.
func (c *composition) leastConformity(cell *health.Cell) string {
	least, all := leastConformity(cell)
	switch {
	case least > 1 || !all && cell.Verdict == health.NotEvaluated:
		return notation.NotHad
	case !all && least >= leastShown:
		return "≤ " + c.probability(least)
	}
	return c.probability(least)
}

// leastConformity is the smallest probability with which a quantity of the cell conforms, above 1 where none has any; and whether
// all limited quantities could be had.
func leastConformity(cell *health.Cell) (least float64, all bool) {
	least, all = 2, true
	for _, k := range cell.Criteria {
		all = all && k.Verdict != health.NotEvaluated
		if p := k.ProbabilityOfConformity; p < least { // not so for NaN
			least = p
		}
	}
	return least, all
}

// leastShown is the smallest probability that is written as it is: beyond it and its like at the other end, more would be claimed
// than the distribution presumed can hold.
const leastShown = 0.001

// probability writes a probability in per cent, without claiming certainty.
func (c *composition) probability(p float64) string {
	switch {
	case p > 1-leastShown:
		return "> " + c.numbers.Percentage(1-leastShown, 1)
	case p < leastShown:
		return "< " + c.numbers.Percentage(leastShown, 1)
	}
	return c.numbers.Percentage(p, 1)
}
