package pdf

import (
	"math"

	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/props"

	"ohmledger/health"
)

// many is the number of cells from which on the list of all stands behind the first page and what they show together.
const many = 25

// verdicts answers the report's question: which cells, what verdict, why, how sure, and what next.
func (c *composition) verdicts() {
	c.space(module)
	c.add(c.tally())
	c.space(module / 2)
	if !c.alone() {
		c.paragraph(c.say("basis", c.ruleData()), c.sheet.note)
	}
	c.paragraph(c.say("front-caution", nil), c.sheet.note.bold())
	if c.lengthy() {
		c.deliveryDecision()
		c.advice()
		return
	}
	if !c.alone() {
		c.summaryTable()
	}
	c.deliveryDecision()
	c.advice()
}

// advice is what to do next, and what the reader must know beside the verdicts.
func (c *composition) advice() {
	c.next()
	c.benchRemarks()
	c.doubts()
}

// deliveryDecision says on the first page whether a delivery is accepted, where the job samples one.
func (c *composition) deliveryDecision() {
	if l := c.doc.Assessment.Lot; l != nil && l.Sampling != nil {
		c.space(module)
		c.decision(l.Sampling)
	}
}

// lengthy reports whether there are so many cells that their list stands behind what they show together.
func (c *composition) lengthy() bool { return c.doc.Assessment.Cells.Len() >= many }

// list has a line for each of many cells.
func (c *composition) list() {
	c.section("list")
	c.summaryTable()
}

// alone reports whether the report is about one cell whose section follows: a summary would say it twice.
func (c *composition) alone() bool { return c.doc.Assessment.Cells.Len() == 1 && len(c.places) == 1 }

// doubts are those about the job as a whole.
func (c *composition) doubts() {
	var points []string
	for _, d := range c.doc.Assessment.Doubts {
		points = append(points, c.literally(d.Text))
	}
	c.space(module / 2)
	c.bullets(item{c.label("doubts"), c.sheet.sideHead, 0}, sideHead, points, c.sheet.note)
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
	r.Add((textWidth - tallyInset - used).holding(text.New(c.say("tally.all", c.doc.Assessment.Cells.Len()), all)))
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
