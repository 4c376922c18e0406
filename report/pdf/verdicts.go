package pdf

import (
	"math"

	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/props"

	"ohmledger/health"
	"ohmledger/report"
)

// many is the number of cells from which on the summary has a line a cell, and what to do stands above it.
const many = 25

// verdicts answers the report's question: which cells, what verdict, why, how sure, and what next.
func (c *composition) verdicts() {
	c.space(module)
	c.add(c.tally())
	c.space(module / 2)
	c.paragraph(c.say("basis", c.ruleData()), c.sheet.note)
	if len(c.doc.Assessment.Cells) >= many {
		c.next()
		c.summaryTable()
		return
	}
	c.summaryTable()
	c.next()
}

// tallied is a verdict with the number of cells that have it.
type tallied struct {
	verdict health.Verdict
	cells   int
}

func (c *composition) counts() []tallied {
	n := c.doc.Assessment.Counts
	var list []tallied
	for _, t := range []tallied{
		{health.Pass, n.Pass}, {health.ConditionalPass, n.ConditionalPass}, {health.ConditionalFail, n.ConditionalFail},
		{health.Fail, n.Fail}, {health.NotEvaluated, n.NotEvaluated},
	} {
		if t.cells > 0 {
			list = append(list, t)
		}
	}
	return list
}

// The tally's parts, in mm.
const (
	tallyHeight = 10.5
	tallyInset  = 3
	tallyMark   = 3.6
)

// tally says on a tinted ground how many cells have which verdict.
func (c *composition) tally() core.Row {
	s := c.sheet.answer
	parts, used := c.tallyParts(s)
	if used > textWidth*4/5 { // all verdicts at once
		s = c.sheet.note.bold()
		parts, used = c.tallyParts(s)
	}
	r := across(mm(tallyInset).holding(&drawn{height: tallyHeight}))
	r.Add(parts...)
	all := c.sheet.note.in(c.sheet.colours.quiet).aligned(align.Right).props()
	all.Top, all.Right = all.Top+(tallyHeight-c.sheet.note.pitch)/2, tallyInset
	r.Add((textWidth - tallyInset - used).holding(text.New(c.say("tally.all", len(c.doc.Assessment.Cells)), all)))
	return r.WithStyle(&props.Cell{BackgroundColor: c.sheet.colours.tint})
}

// tallyParts are the verdicts with their numbers of cells, and the width that they take.
func (c *composition) tallyParts(s style) (parts []core.Col, used mm) {
	for _, t := range c.counts() {
		words := c.say("tally", struct {
			Cells   int
			Verdict string
		}{t.cells, c.doc.Words.Verdict(t.verdict)})
		p := s.in(verdictColours[t.verdict]).props()
		p.Left, p.Top = tallyMark+1.5, p.Top+(tallyHeight-s.pitch)/2
		room := mm(math.Ceil(c.width(words, s))) + tallyMark + 8
		used += room
		parts = append(parts, room.holding(verdictMark(t.verdict, tallyMark, tallyHeight/2), text.New(words, p)))
	}
	return parts, used
}

// summaryTable has a row for each cell.
func (c *composition) summaryTable() {
	c.space(module)
	t := table{columns: []column{
		{head: c.label("verdict")},
		{head: c.label("cell"), most: 30},
		{head: c.label("growth.charge-transfer"), setting: byPoint},
		{head: c.label("growth.ohmic"), setting: byPoint},
		{head: c.label("conformity"), setting: rightward, least: 17},
		{head: c.label("grade"), most: 12},
		{head: c.label("reason"), stretch: true},
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
	return c.literally(cell.Reason)
}

// growths are those of the judged measurement, with expanded uncertainty.
func (c *composition) growths(cell *health.Cell) (ohmic, chargeTransfer string) {
	m := latest(cell)
	if m == nil {
		return report.NotHad, report.NotHad
	}
	return c.growth(m.OhmicGrowth), c.growth(m.ChargeTransferGrowth)
}

func (c *composition) growth(g health.Growth) string {
	if !g.Ratio.Known() {
		return report.NotHad
	}
	if g.Ratio.StandardUncertainty() == 0 { // the baseline itself
		return c.numbers.Stated(g.Ratio.Estimate(), report.One.Scale())
	}
	return c.expanded(g.Ratio, report.One.Scale())
}

// leastConformity is the smallest probability with which a quantity of the cell conforms.
func (c *composition) leastConformity(cell *health.Cell) string {
	least := 2.
	for _, k := range cell.Criteria {
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
