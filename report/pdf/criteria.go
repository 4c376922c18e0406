package pdf

import (
	"strings"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// criteria are a cell's limits: what was found, what is allowed and what follows, beside a number line.
func (c *composition) criteria(cell *health.Cell) {
	if len(cell.Criteria) == 0 {
		c.paragraph(c.say("no-limits", nil), c.sheet.note)
	}
	legend := legend{}
	for i := range cell.Criteria {
		c.space(module / 2)
		c.criterion(cell, i)
		legend.add(&cell.Criteria[i])
	}
	if len(cell.Criteria) > 0 {
		c.paragraph(c.say("lines", legend), c.sheet.small)
	}
}

// legend is what the number lines of a cell show.
type legend struct{ Value, Interval, Guard bool }

func (l *legend) add(k *health.Criterion) {
	l.Value = l.Value || k.Value.Known()
	l.Interval = l.Interval || k.Value.Known() && !k.Unstated
	l.Guard = l.Guard || k.Value.Known() && !k.Unstated && k.AcceptanceLimit != k.Limit
}

// suppliedByCustomer reports whether a quantity is one that the customer states.
func suppliedByCustomer(q job.Quantity) bool {
	return q == job.CapacityAh || q == job.CapacityRetention
}

func (c *composition) criterion(cell *health.Cell, i int) {
	k := &cell.Criteria[i]
	line := c.numberLine(cell, i)
	words := c.judgement(k)
	texts := []item{
		{capitalised(c.say("criterion.heading", words)), c.sheet.note.bold().in(verdictColours[k.Verdict]), 0},
		{c.say("criterion.value", words), c.sheet.note, 0},
	}
	if k.Verdict != health.Pass { // what passes has its reason in the numbers
		texts = append(texts, item{capitalised(c.literally(k.Reason)), c.sheet.note, 0})
	}
	rows := c.abreast(pillar{markRoom, nil}, pillar{mm(textWidth - line.Width - markRoom), texts}, pillar{mm(line.Width), nil})
	columns := rows[0].GetColumns()
	columns[0].Add(verdictMark(k.Verdict, 2.8, c.sheet.note.pitch/2))
	columns[2].Add(figurePart(line))
	c.addEach(rows)
}

// judgement is a criterion in words. Value and what follows it are blank where the quantity was not had.
type judgement struct {
	Quantity, Side, Limit, Verdict string
	Value, Interval, Factor        string
	Exact                          string // the value where it has no uncertainty; blank where it has one
	Growth                         bool   // a ratio: stated with its interval; a value without uncertainty is the baseline over itself
	Acceptance                     string // the limit less the guard band; blank where that is none
	Lower                          bool   // the limit is a lower one
	Probability                    string // blank where no uncertainty is stated
	Supplied                       bool   // a capacity, which the customer states
	At                             correctedTo
}

func (c *composition) judgement(k *health.Criterion) judgement {
	j := judgement{
		Quantity: c.doc.Words.Quantity(k.Quantity), Side: c.doc.Words.Side(k.Side), Limit: c.bound(k.Quantity, k.Limit),
		Verdict: c.doc.Words.Verdict(k.Verdict), Factor: c.factor(), Lower: k.Side == job.Min, Growth: isGrowth(k.Quantity),
		Supplied: suppliedByCustomer(k.Quantity), At: c.correctedTo(k.Quantity),
	}
	if !k.Value.Known() {
		return j
	}
	scale := notation.UnitOf(k.Quantity).Scale(k.Value)
	if k.Unstated {
		j.Exact = c.digits(k.Value.Estimate(), 4, scale)
		j.Value = j.Exact
		return j
	}
	if k.ExpandedUncertainty == 0 {
		j.Exact = c.digits(k.Value.Estimate(), 4, scale)
	}
	j.Value = c.numbers.Expanded(k.Value.Estimate(), k.ExpandedUncertainty, scale)
	if j.Growth {
		j.Value = c.rounded(k.Value.Estimate(), k.ExpandedUncertainty, scale)
	}
	j.Interval = c.numbers.Interval(k.Lower, k.Upper, k.ExpandedUncertainty, scale)
	j.Probability = c.probability(k.ProbabilityOfConformity)
	if k.AcceptanceLimit != k.Limit {
		j.Acceptance = c.rounded(k.AcceptanceLimit, k.ExpandedUncertainty, scale)
	}
	return j
}

// rounded writes a number to the digits that an uncertainty has, with its unit.
func (c *composition) rounded(x, u float64, s notation.Scale) string {
	number, _, _ := strings.Cut(c.numbers.PlusMinus(x, u, s), " ±")
	if s.Symbol != "" {
		number += "\u00a0" + s.Symbol
	}
	return number
}
