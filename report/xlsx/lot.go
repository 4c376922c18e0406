package xlsx

import (
	"iter"
	"math"
	"slices"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report/notation"
)

// spreads is a row of the lot's statistics: one quantity over all cells, or over a part of them.
type spreads struct {
	of      *health.LotQuantity
	part    string                // what the job's group_by column has; blank for all cells
	all     bool                  // the whole lot
	summary *health.LotSummary    // nil where no cell of the part has a value
	against *health.GroupQuantity // how a part stands against the rest; nil for all cells
	counts  health.Counts
	cells   int
	scale   notation.Scale
}

// lot describes how the quantities of the cells spread, together and by parts.
func (b *book) lot() error {
	l := b.doc.Assessment.Lot
	if l == nil || len(l.Quantities) == 0 {
		return nil
	}
	c := b.lotColumns()
	s := b.newSheet("lot", widths(c), firstRow)
	s.top("lot")
	table(s, "lot_statistics", firstRow, c, b.allSpreads(l))
	return s.end()
}

func (b *book) allSpreads(l *health.Lot) iter.Seq[spreads] {
	return func(yield func(spreads) bool) {
		for i := range l.Quantities {
			q := &l.Quantities[i]
			if !yield(spreads{of: q, all: true, summary: &q.Summary, counts: l.Counts, cells: l.Cells, scale: b.scaleOf(q.Quantity)}) {
				return
			}
			for n := range l.Groups {
				g := &l.Groups[n]
				if i < len(g.Quantities) && !yield(spreads{of: q, part: g.Name, summary: g.Quantities[i].Summary, against: &g.Quantities[i],
					counts: g.Counts, cells: g.Cells, scale: b.scaleOf(q.Quantity)}) {
					return
				}
			}
		}
	}
}

func (b *book) lotColumns() *columns[spreads] {
	c := newColumns[spreads]()
	c.words("quantity", b.say("column.quantity"), 42, func(r spreads) string { return b.quantity(r.of.Quantity) })
	c.words("part", b.say("column.lot_part"), b.partWidth(), func(r spreads) string { return b.part(r.part, r.all) })
	c.words("unit", b.say("column.unit"), narrow, func(r spreads) string { return unitOf(r.scale) })
	c.figure(b, "lot_cells", func(r spreads) cell { return cell{value: r.cells} })
	c.figure(b, "lot_count", func(r spreads) cell { return r.had(func(s *health.LotSummary) cell { return cell{value: s.Count} }) })
	b.momentColumns(c)
	b.orderColumns(c)
	b.partColumns(c)
	return c
}

// had is a cell of a part that has values.
func (r spreads) had(of func(s *health.LotSummary) cell) cell {
	if r.summary == nil {
		return cell{}
	}
	return of(r.summary)
}

// number shows a number to the digits that the spread of the lot gives it.
func (r spreads) number(x float64) cell {
	return number64(r.scale.In(x), formatFor(spreadOf(r.of), r.scale))
}

// spreadOf is the standard deviation of a lot, or where it has none a hundredth of its median.
func spreadOf(q *health.LotQuantity) float64 {
	if u := q.Summary.StandardDeviation; u > 0 {
		return u
	}
	return math.Abs(q.Summary.Median) / 100
}

// momentColumns are mean, median and standard deviation with their 95 % intervals.
func (b *book) momentColumns(c *columns[spreads]) {
	each := func(key string, of func(s *health.LotSummary) float64) {
		c.figure(b, key, func(r spreads) cell { return r.had(func(s *health.LotSummary) cell { return r.number(of(s)) }) })
	}
	within := func(key string, of func(s *health.LotSummary) fit.Interval) {
		each(key+"_lower", func(s *health.LotSummary) float64 { return of(s).Lower })
		each(key+"_upper", func(s *health.LotSummary) float64 { return of(s).Upper })
	}
	each("lot_mean", func(s *health.LotSummary) float64 { return s.Mean })
	within("lot_mean", func(s *health.LotSummary) fit.Interval { return s.MeanInterval })
	each("lot_median", func(s *health.LotSummary) float64 { return s.Median })
	within("lot_median", func(s *health.LotSummary) fit.Interval { return s.MedianInterval })
	each("lot_deviation", func(s *health.LotSummary) float64 { return s.StandardDeviation })
	within("lot_deviation", func(s *health.LotSummary) fit.Interval { return s.StandardDeviationInterval })
	each("lot_robust", func(s *health.LotSummary) float64 { return s.RobustSpread })
}

// orderColumns are the least value, the quantiles and the largest.
func (b *book) orderColumns(c *columns[spreads]) {
	each := func(key, head string, of func(s *health.LotSummary) float64) {
		c.add(key, head, middling, func(r spreads, _ int) cell {
			return r.had(func(s *health.LotSummary) cell { return r.number(of(s)) })
		})
	}
	each("least", b.say("column.lot_least"), func(s *health.LotSummary) float64 { return s.Least })
	for i, q := range b.doc.Assessment.Lot.Quantities[0].Summary.Quantiles {
		at := b.words.Notation().Percentage(q.P, 0)
		each("quantile "+at, b.say("column.lot_quantile", at), func(s *health.LotSummary) float64 { return s.Quantiles[i].Value })
	}
	each("most", b.say("column.lot_most"), func(s *health.LotSummary) float64 { return s.Most })
	c.figure(b, "lot_enclosed", func(r spreads) cell {
		return r.had(func(s *health.LotSummary) cell { return number64(s.RangeConfidence, percentFormat) })
	})
}

// partColumns count verdicts, and say how a part stands against the rest of the lot.
func (b *book) partColumns(c *columns[spreads]) {
	for i := len(verdicts) - 1; i >= 0; i-- {
		v := verdicts[i]
		c.add("count "+v.String(), b.verdict(v), narrow, func(r spreads, _ int) cell { return cell{value: countOf(r.counts, v)} })
	}
	if len(b.doc.Assessment.Lot.Groups) == 0 {
		return
	}
	each := func(key string, of func(g *health.GroupQuantity) float64) {
		c.figure(b, key, func(r spreads) cell {
			switch {
			case r.against == nil:
				return cell{}
			case r.against.Logarithmic:
				return number64(of(r.against), "0.0%")
			}
			return r.number(of(r.against))
		})
	}
	each("lot_difference", func(g *health.GroupQuantity) float64 { return g.Difference })
	each("lot_difference_lower", func(g *health.GroupQuantity) float64 { return g.Interval.Lower })
	each("lot_difference_upper", func(g *health.GroupQuantity) float64 { return g.Interval.Upper })
	c.figure(b, "lot_difference_p", func(r spreads) cell {
		if r.against == nil {
			return cell{}
		}
		return number64(r.against.P, chanceFormat)
	})
	c.words("departs", b.say("column.lot_departs"), middling, func(r spreads) string {
		if r.against == nil || math.IsNaN(r.against.P) {
			return ""
		}
		return b.yesNo(r.against.Departs)
	})
}

// chanceFormat is that of the probabilities of tests.
const chanceFormat = "0.000"

func countOf(c health.Counts, v health.Verdict) int {
	return map[health.Verdict]int{health.Pass: c.Pass, health.ConditionalPass: c.ConditionalPass, health.ConditionalFail: c.ConditionalFail,
		health.Fail: c.Fail, health.NotEvaluated: c.NotEvaluated}[v]
}

// part is what a part of the lot is called.
func (b *book) part(name string, all bool) string {
	switch {
	case all:
		return b.say("all_cells")
	case name == "":
		return b.say("lot.no_part")
	}
	return name
}

// partWidth is wide enough for the names of parts, within reason.
func (b *book) partWidth() float64 {
	width := 15.
	for _, g := range b.doc.Assessment.Lot.Groups {
		width = max(width, min(30, float64(len([]rune(g.Name))+3)))
	}
	return width
}

// listed joins texts that are not blank.
func listed(parts []string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "; ")
}
