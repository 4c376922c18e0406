package pdf

import (
	"math"

	"ohmledger/health"
	"ohmledger/report"
)

// summaryTable has a row for each cell.
func (c *composition) summaryTable() {
	c.space(module)
	t := table{columns: []column{
		{head: c.label("verdict")},
		{head: c.label("cell"), most: 30},
		{head: c.sayLines("head.charge-transfer", nil), setting: byPoint},
		{head: c.sayLines("head.ohmic", nil), setting: byPoint},
		{head: c.label("conformity"), setting: rightward, least: 17},
		{head: c.label("grade"), most: 12},
		{head: c.label("reason"), stretch: 1},
	}}
	for i := range c.doc.Assessment.Cells {
		t.records = append(t.records, c.summaryRecord(i))
	}
	t.note = c.say("summary-note", c.ruleData())
	c.addTable(t.omit(report.NotHad))
}

func (c *composition) summaryRecord(index int) []entry {
	cell := &c.doc.Assessment.Cells[index]
	verdict := c.sheet.table.bold().in(verdictColours[cell.Verdict])
	name := c.sheet.table.bold()
	ohmic, chargeTransfer := c.growths(cell)
	return []entry{
		{text: c.doc.Words.Verdict(cell.Verdict), style: &verdict, mark: verdictMark(cell.Verdict, 2.6, module/4+c.sheet.table.pitch/2)},
		{text: c.literally(cell.Name), style: &name, link: c.places[index]},
		{text: chargeTransfer}, {text: ohmic},
		{text: c.leastConformity(cell)},
		{text: c.literally(cell.Grade)},
		{text: c.summaryReason(cell)},
	}
}

// summaryReason leaves out of a long summary why cells passed.
func (c *composition) summaryReason(cell *health.Cell) string {
	if cell.Verdict == health.Pass && len(c.doc.Assessment.Cells) >= many {
		return ""
	}
	return capitalised(c.literally(cell.Reason))
}

// growths are those of the judged measurement, with their coverage intervals.
func (c *composition) growths(cell *health.Cell) (ohmic, chargeTransfer string) {
	m := latest(cell)
	if m == nil {
		return report.NotHad, report.NotHad
	}
	return c.growth(m.OhmicGrowth), c.growth(m.ChargeTransferGrowth)
}

// growth is the coverage interval of a ratio, which is even on the logarithm that it is decided on and not about the ratio.
func (c *composition) growth(g health.Growth) string {
	if !g.Ratio.Known() {
		return report.NotHad
	}
	ratio := g.Ratio.Estimate()
	if g.Ratio.StandardUncertainty() == 0 { // the baseline itself
		return c.numbers.Stated(ratio, report.One.Scale())
	}
	spread := math.Exp(c.coverage() * g.LogU)
	return c.numbers.Interval(ratio/spread, ratio*spread, ratio*(spread-1), report.One.Scale())
}

// leastConformity is the smallest probability with which a quantity of the cell conforms; none where a limited quantity could not
// be had, since that one might be smaller.
func (c *composition) leastConformity(cell *health.Cell) string {
	least := 2.
	for _, k := range cell.Criteria {
		if k.Verdict == health.NotEvaluated {
			return report.NotHad
		}
		if p := k.ProbabilityOfConformity; p < least { // not so for NaN
			least = p
		}
	}
	if least > 1 {
		return report.NotHad
	}
	return c.probability(least)
}

// probability writes a probability in per cent, without claiming certainty.
func (c *composition) probability(p float64) string {
	switch {
	case p > 0.999:
		return "> " + c.numbers.Percentage(0.999, 1)
	case p < 0.001:
		return "< " + c.numbers.Percentage(0.001, 1)
	}
	return c.numbers.Percentage(p, 1)
}
