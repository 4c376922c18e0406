package pdf

import (
	"math"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report/notation"
)

// matching is the table of groups whose cells are alike, how well that was done, and the cells left over.
func (c *composition) matching(g *health.Grouping) {
	if g == nil {
		return
	}
	c.subheading("matching")
	c.holdParagraph(c.say("matching", c.matched(g)), c.sheet.note)
	c.hold(empty(module / 2))
	t := c.matchedGroups(g)
	if len(t.records) > 0 {
		c.addTable(t.omit(""))
	}
	c.space(module / 2)
	var points []string
	for _, reason := range g.Reasons {
		points = append(points, capitalised(c.literally(reason)))
	}
	points = append(points, c.leftover(g)...)
	c.bullets(item{c.label("matching-notes"), c.sheet.sideHead, 0}, sideHead, points, c.sheet.note)
}

// matched is how a grouping was made and how good it is; spreads are in robust standard deviations of the cells.
type matched struct {
	Size, Groups, Left    int
	Series, Grade, Exact  bool
	Worst, Sorted, Random string // blank where there is no group
	Least                 string
	Draws                 int
	Quantities            []string
	Measurement           []string // how far apart equal cells would be measured, by quantity
}

func (c *composition) matched(g *health.Grouping) matched {
	m := matched{Size: g.Size, Groups: len(g.Groups), Left: len(g.Leftover), Series: g.Arrangement == "series", Grade: g.WithinGrade, Exact: g.Exact, Draws: g.RandomDraws}
	for i, q := range g.By {
		name := c.doc.Words.Quantity(q.Quantity)
		m.Quantities = append(m.Quantities, name)
		if q.MeasurementRange > 0 {
			s := scaleOfMeans(g, i)
			m.Measurement = append(m.Measurement, c.say("matching.measurement", struct{ Quantity, Range string }{name, c.uncertaintyWithUnit(q.MeasurementRange, s)}))
		}
	}
	two := func(x float64) string {
		if math.IsNaN(x) {
			return ""
		}
		return c.numbers.Fixed(x, 2, notation.One.Scale())
	}
	m.Worst, m.Sorted, m.Random, m.Least = two(g.WorstSpread), two(g.SortedSpread), two(g.RandomSpread), two(g.LeastSpread)
	return m
}

func (c *composition) matchedGroups(g *health.Grouping) table {
	t := table{columns: []column{
		{head: c.label("group"), setting: rightward}, {head: c.label("grade"), most: 14}, {head: c.label("group-spread"), setting: byPoint},
	}}
	scales := make([]notation.Scale, len(g.By))
	for i, q := range g.By {
		scales[i] = scaleOfMeans(g, i)
		if i < quantitiesBeside {
			t.columns = append(t.columns, column{head: c.headOf(q.Quantity, scales[i]), setting: byPoint}, column{head: c.label("range"), setting: byPoint})
		}
	}
	t.columns = append(t.columns, column{head: c.say("head.limiting", g.Arrangement), most: 30}, column{head: c.label("members"), stretch: 1})
	for _, group := range g.Groups {
		record := entries(c.count(group.Number), c.literally(group.Grade), c.numbers.Fixed(group.Spread, 2, notation.One.Scale()))
		for i := range scales[:min(len(scales), quantitiesBeside)] {
			of := group.Ranges[i]
			decimals := scales[i].Decimals(max(of, g.By[i].Scale/10))
			record = append(record, entries(c.numbers.Fixed(group.Means[i], decimals, scales[i]), c.numbers.Fixed(of, decimals, scales[i]))...)
		}
		t.records = append(t.records, append(record, entries(c.limiting(group), c.members(group.Cells))...))
	}
	t.note = c.say("matching-note", nil)
	return t
}

// scaleOfMeans suits the groups' means in one quantity, or where there is no group how far apart equal cells are measured.
func scaleOfMeans(g *health.Grouping, quantity int) notation.Scale {
	of := fit.NewValue(g.By[quantity].MeasurementRange, g.By[quantity].MeasurementRange/100)
	for i, group := range g.Groups {
		if i == len(g.Groups)/2 {
			of = fit.NewValue(group.Means[quantity], 0)
		}
	}
	return notation.UnitOf(g.By[quantity].Quantity).Scale(of)
}

func (c *composition) limiting(group health.MatchedGroup) string {
	if group.Limiting == "" {
		return ""
	}
	return c.say("limiting", struct {
		Cell, Ratio string
	}{c.literally(group.Limiting), c.numbers.Percentage(group.Ratio, 1)})
}

func (c *composition) members(cells []string) string {
	names := make([]string, len(cells))
	for i, n := range cells {
		names[i] = c.literally(n)
	}
	return strings.Join(names, ", ")
}

// leftover names the cells that are in no group, by the reason why.
func (c *composition) leftover(g *health.Grouping) []string {
	var reasons []string
	cells := map[string][]string{}
	for _, l := range g.Leftover {
		if cells[l.Reason] == nil {
			reasons = append(reasons, l.Reason)
		}
		cells[l.Reason] = append(cells[l.Reason], l.Cell)
	}
	var points []string
	for _, r := range reasons {
		const most = 40
		names := cells[r]
		points = append(points, c.say("leftover", struct {
			Cells, Reason string
			More          int
		}{c.members(names[:min(len(names), most)]), capitalised(c.literally(r)), max(0, len(names)-most)}))
	}
	return points
}
