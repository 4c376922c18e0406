package xlsx

import (
	"slices"

	"ohmledger/health"
)

// spreadSheet parts the spread of each quantity into the cells' own and the measurement's, and says what the
// decision rule does to such a lot.
func (b *book) spreadSheet() error {
	l := b.doc.Assessment.Lot
	if l == nil || len(l.Quantities) == 0 {
		return nil
	}
	parts, risks := b.separationColumns(), b.riskColumns()
	s := b.newSheet("spread", widerOf(widths(parts), widths(risks)), firstRow)
	s.top("spread")
	after := table(s, "spread", firstRow, parts, references(l.Quantities))
	if list := b.risks(l); len(list) > 0 {
		s.row(after+1, words(s.say("risks"), look{bold: true}))
		table(s, "risks", after+3, risks, slices.Values(list))
	}
	return s.end()
}

// references are the elements of a list in place.
func references[T any](list []T) func(yield func(*T) bool) {
	return func(yield func(*T) bool) {
		for i := range list {
			if !yield(&list[i]) {
				return
			}
		}
	}
}

// widerOf is the wider of two columns' widths each.
func widerOf(a, b []float64) []float64 {
	for i := range min(len(a), len(b)) {
		a[i] = max(a[i], b[i])
	}
	if len(b) > len(a) {
		a = append(a, b[len(a):]...)
	}
	return a
}

func (b *book) separationColumns() *columns[*health.LotQuantity] {
	c := newColumns[*health.LotQuantity]()
	c.words("quantity", b.say("column.quantity"), 42, func(q *health.LotQuantity) string { return b.quantity(q.Quantity) })
	c.words("unit", b.say("column.unit"), middling, func(q *health.LotQuantity) string {
		if q.Logarithmic {
			return b.say("relative")
		}
		return unitOf(b.scaleOf(q.Quantity))
	})
	number := func(q *health.LotQuantity, x float64) cell {
		if q.Logarithmic {
			return number64(x, percentFormat)
		}
		s := b.scaleOf(q.Quantity)
		return number64(s.In(x), formatFor(x, s))
	}
	part := func(key string, of func(s *health.SpreadSeparation) float64) {
		c.figure(b, key, func(q *health.LotQuantity) cell {
			if q.Separation == nil {
				return cell{}
			}
			return number(q, of(q.Separation))
		})
	}
	part("spread_observed", func(s *health.SpreadSeparation) float64 { return s.Observed })
	part("spread_own", func(s *health.SpreadSeparation) float64 { return s.Own })
	part("spread_own_lower", func(s *health.SpreadSeparation) float64 { return s.OwnInterval.Lower })
	part("spread_own_upper", func(s *health.SpreadSeparation) float64 { return s.OwnInterval.Upper })
	part("spread_measurement", func(s *health.SpreadSeparation) float64 { return s.Measurement })
	part("spread_common", func(s *health.SpreadSeparation) float64 { return s.Common })
	c.figure(b, "spread_share", func(q *health.LotQuantity) cell {
		if q.Separation == nil {
			return cell{}
		}
		return number64(q.Separation.Share, percentFormat)
	})
	c.figure(b, "spread_cells", func(q *health.LotQuantity) cell {
		if q.Separation == nil {
			return cell{}
		}
		return cell{value: q.Separation.Cells}
	})
	b.betweenColumns(c, number)
	c.words("reason", b.say("column.spread_reason"), wider, func(q *health.LotQuantity) string {
		if q.Separation == nil {
			return ""
		}
		return q.Separation.Reason
	})
	return c
}

// betweenColumns are the analysis of variance between the parts of a lot.
func (b *book) betweenColumns(c *columns[*health.LotQuantity], number func(q *health.LotQuantity, x float64) cell) {
	if len(b.doc.Assessment.Lot.Groups) == 0 {
		return
	}
	between := func(key string, show func(q *health.LotQuantity, v *health.BetweenGroups) cell) {
		c.figure(b, key, func(q *health.LotQuantity) cell {
			if q.Between == nil {
				return cell{}
			}
			return show(q, q.Between)
		})
	}
	between("between_f", func(_ *health.LotQuantity, v *health.BetweenGroups) cell { return number64(v.F, "0.00") })
	between("between_freedom", func(_ *health.LotQuantity, v *health.BetweenGroups) cell { return number64(v.NumeratorFreedom, "0") })
	between("within_freedom", func(_ *health.LotQuantity, v *health.BetweenGroups) cell { return number64(v.ErrorFreedom, "0") })
	between("between_p", func(_ *health.LotQuantity, v *health.BetweenGroups) cell { return number64(v.P, chanceFormat) })
	between("between_spread", func(q *health.LotQuantity, v *health.BetweenGroups) cell { return number(q, v.Spread) })
	between("within_spread", func(q *health.LotQuantity, v *health.BetweenGroups) cell { return number(q, v.Within) })
}

// risked is a row of the risks: what the decision rule does to the lot at one limit.
type risked struct {
	of     *health.LotQuantity
	risk   *health.GlobalRisk // nil where it cannot be had
	why    string             // in words, where it cannot
	limit  limit
	beyond int
}

// risks of the limits, in the order of the quantities.
func (b *book) risks(l *health.Lot) (list []risked) {
	for i := range l.Quantities {
		q := &l.Quantities[i]
		for n, bound := range q.Limits {
			r := risked{of: q, beyond: q.BeyondLimits[n], why: b.noRisks(q, n)}
			at := slices.IndexFunc(b.list, func(l limit) bool { return l.Limit == bound })
			if at < 0 {
				continue
			}
			r.limit = b.list[at]
			if k := slices.IndexFunc(q.Risks, func(g health.GlobalRisk) bool { return g.Limit == bound }); k >= 0 {
				r.risk = &q.Risks[k]
			}
			list = append(list, r)
		}
	}
	return list
}

// noRisks says why there are no risks at the n-th limit of a quantity; blank where there are.
func (b *book) noRisks(q *health.LotQuantity, n int) string {
	if q.NoRisks[n] == "" {
		return ""
	}
	return b.words.Say("missing.lot-"+q.NoRisks[n], nil)
}

func (b *book) riskColumns() *columns[risked] {
	c := newColumns[risked]()
	c.words("quantity", b.say("column.quantity"), 42, func(r risked) string { return b.quantity(r.of.Quantity) })
	c.words("unit", b.say("column.unit"), middling, func(r risked) string { return unitOf(r.limit.scale) })
	c.words("side", b.say("column.side"), sideWidth, func(r risked) string { return b.side(r.limit.Side) })
	c.figure(b, "limit_issued", func(r risked) cell { return cell{value: r.limit.scale.In(r.limit.Bound)} })
	c.figure(b, "beyond", func(r risked) cell { return cell{value: r.beyond, formula: b.beyondFormula(r)} })
	part := func(key string, of func(g *health.GlobalRisk) float64) {
		c.figure(b, key, func(r risked) cell {
			if r.risk == nil {
				return cell{}
			}
			return number64(of(r.risk), "0.0000%")
		})
	}
	part("risk_nonconforming", func(g *health.GlobalRisk) float64 { return g.Nonconforming })
	part("risk_consumers", func(g *health.GlobalRisk) float64 { return g.Consumers })
	part("risk_producers", func(g *health.GlobalRisk) float64 { return g.Producers })
	c.words("risk_none", b.say("column.risk_none"), wide, func(r risked) string { return r.why })
	return c
}

// beyondFormula counts the values beyond a limit as it is now; blank where the criteria hold others too.
func (b *book) beyondFormula(r risked) string {
	n, over := 0, map[bool]string{true: `">"&`, false: `"<"&`}[r.limit.Side == "max"]
	values, bound := b.judgedValues(r.limit), r.limit.scale.In(r.limit.Bound)
	for _, v := range values {
		if r.limit.Side == "max" && v > bound || r.limit.Side == "min" && v < bound {
			n++
		}
	}
	if n != r.beyond || len(values) != r.of.Summary.Count || len(b.doc.Assessment.Lot.Reference) > 0 {
		return ""
	}
	no, value := b.criteriaRange("no"), b.criteriaRange("value")
	return "COUNTIFS(" + no + "," + number(r.limit.i+1) + "," + value + "," + over + r.limit.name + ")"
}

// criteriaRange is a column of the criteria, all rows.
func (b *book) criteriaRange(key string) string {
	return b.place("criteria", b.judged.letter(key), firstRow, b.plan.criteria-1)
}

// judgedValues are the values judged against a limit, in its scale.
func (b *book) judgedValues(l limit) (values []float64) {
	if l.i >= len(b.plan.judged) {
		return nil
	}
	for _, v := range b.plan.judged[l.i] {
		values = append(values, l.scale.In(v))
	}
	return values
}
