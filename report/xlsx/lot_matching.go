package xlsx

import (
	"iter"
	"slices"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// matching lists the groups of cells that are alike, and what was reached by making them.
func (b *book) matching() error {
	l := b.doc.Assessment.Lot
	if l == nil || l.Grouping == nil {
		return nil
	}
	g := l.Grouping
	c, reached := b.groupColumns(g), b.statedColumns()
	s := b.newSheet("matching", widerOf(widths(c), []float64{46, 20, 15}), firstRow)
	s.top("matching")
	after := table(s, "matched_groups", firstRow, c, references(g.Groups))
	s.row(after+1, words(s.say("matching.reached"), look{bold: true}))
	after = table(s, "matching", after+3, reached, slices.Values(b.reached(g)))
	for i, reason := range g.Reasons {
		s.row(after+1+i, words(reason, look{}))
	}
	return s.end()
}

// quantityColumns are two numbers a quantity that cells are grouped by.
func (b *book) groupColumns(g *health.Grouping) *columns[*health.MatchedGroup] {
	c := newColumns[*health.MatchedGroup]()
	c.add("number", b.say("column.group"), 46, func(m *health.MatchedGroup, _ int) cell { return cell{value: m.Number, look: look{side: "left"}} })
	c.list[0].side = "left"
	c.words("grade", b.say("column.grade_issued"), 20, func(m *health.MatchedGroup) string { return m.Grade })
	c.add("count", b.say("column.lot_cells"), 15, func(m *health.MatchedGroup, _ int) cell { return cell{value: len(m.Cells)} })
	c.figure(b, "group_spread", func(m *health.MatchedGroup) cell { return number64(m.Spread, "0.000") })
	for i, q := range g.By {
		s := b.scaleOf(q.Quantity)
		name := b.quantity(q.Quantity)
		number := func(x float64) cell { return number64(s.In(x), formatFor(q.Scale, s)) }
		c.add("mean "+string(q.Quantity), withUnit(b.say("matching.mean", name), s), middling, func(m *health.MatchedGroup, _ int) cell { return number(m.Means[i]) })
		c.add("range "+string(q.Quantity), withUnit(b.say("matching.range", name), s), middling, func(m *health.MatchedGroup, _ int) cell { return number(m.Ranges[i]) })
	}
	c.words("limiting", b.say("column.limiting"), b.plan.cellWidth, func(m *health.MatchedGroup) string { return m.Limiting })
	c.figure(b, "limiting_ratio", func(m *health.MatchedGroup) cell {
		if m.Limiting == "" {
			return cell{}
		}
		return number64(m.Ratio, "0.000")
	})
	c.words("members", b.say("column.members"), widest, func(m *health.MatchedGroup) string { return strings.Join(m.Cells, ", ") })
	return c
}

// reached is how the grouping was made, and how its worst group compares with others that could have been.
func (b *book) reached(g *health.Grouping) (list []stated) {
	add := func(key string, value cell, unit string) {
		value.look.side = "right"
		list = append(list, stated{b.say("matching." + key), value, unit})
	}
	add("size", cell{value: g.Size}, b.say("cells"))
	add("arrangement", cell{value: b.say("matching." + g.Arrangement)}, "")
	add("within_grade", cell{value: b.yesNo(g.WithinGrade)}, "")
	for _, q := range g.By {
		s := b.scaleOf(q.Quantity)
		list = append(list, stated{b.say("matching.weight", b.quantity(q.Quantity)), number64(q.Weight, "0.00"), "1"},
			stated{b.say("matching.scale", b.quantity(q.Quantity)), number64(s.In(q.Scale), formatFor(q.Scale, s)), unitOf(s)},
			stated{b.say("matching.measured_range", b.quantity(q.Quantity)), number64(s.In(q.MeasurementRange), formatFor(q.MeasurementRange, s)), unitOf(s)})
	}
	for _, x := range []struct {
		key   string
		value float64
	}{{"worst", g.WorstSpread}, {"sorted", g.SortedSpread}, {"random", g.RandomSpread}, {"least", g.LeastSpread}} {
		add(x.key, number64(x.value, "0.000"), "1")
	}
	add("draws", cell{value: g.RandomDraws}, "1")
	add("exact", cell{value: b.yesNo(g.Exact)}, "")
	add("leftover", cell{value: len(g.Leftover)}, b.say("cells"))
	return list
}

// member is a row of the members: a cell in a group, or left over with the reason.
type member struct {
	cell   *health.Cell
	group  *health.MatchedGroup // nil: left over
	reason string
}

// members lists every cell with the group that it is in.
func (b *book) members() error {
	l := b.doc.Assessment.Lot
	if l == nil || l.Grouping == nil {
		return nil
	}
	c := newColumns[member]()
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(m member) string { return m.cell.Name })
	c.figure(b, "group", func(m member) cell {
		if m.group == nil {
			return cell{}
		}
		return cell{value: m.group.Number}
	})
	c.words("grade", b.say("column.grade_issued"), middling, func(m member) string { return m.cell.Grade })
	c.centred("verdict", b.say("column.verdict_issued"), 17, func(m member, _ int) cell {
		return cell{value: b.verdict(m.cell.Verdict), look: look{side: "center"}}
	})
	for _, q := range l.Grouping.By {
		c.value(b, string(q.Quantity), b.quantity(q.Quantity), b.scaleOf(q.Quantity), func(m member) fit.Value { return valueOf(m.cell, q.Quantity) })
	}
	c.words("reason", b.say("column.left_over"), widest, func(m member) string { return m.reason })
	s := b.newSheet("members", widths(c), firstRow)
	s.top("members")
	after := table(s, "group_members", firstRow, c, b.allMembers(l.Grouping))
	s.tint(c.at("verdict", firstRow) + ":" + c.at("verdict", max(firstRow, after-1)))
	return s.end()
}

// allMembers are the cells of the groups, then those that are left over.
func (b *book) allMembers(g *health.Grouping) iter.Seq[member] {
	places := map[string]int{}
	for i, c := range b.cells() {
		places[c.Name] = i
	}
	return func(yield func(member) bool) {
		one := func(name string, of *health.MatchedGroup, reason string) bool {
			i, known := places[name]
			return !known || yield(member{b.doc.Assessment.Cells.At(i), of, reason})
		}
		for i := range g.Groups {
			for _, name := range g.Groups[i].Cells {
				if !one(name, &g.Groups[i], "") {
					return
				}
			}
		}
		for _, out := range g.Leftover {
			if !one(out.Cell, nil, out.Reason) {
				return
			}
		}
	}
}

// valueOf is a cell's quantity at the measurement that is judged; not known where the job does not name it.
func valueOf(c *health.Cell, q job.Quantity) fit.Value {
	for _, v := range c.Values {
		if v.Quantity == q {
			return v.Value
		}
	}
	return fit.Value{}
}
