package xlsx

import (
	"iter"

	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// share is a row of the uncertainty budget.
type share struct {
	judged
	health.Contribution
}

// budget lists what the uncertainty of each judged value is made of.
func (b *book) budget() error {
	c := newColumns[share]()
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(r share) string { return r.cell.Name })
	c.add("no", b.say("column.number"), 6, func(r share, _ int) cell { return cell{value: r.limit.i + 1} })
	c.words("quantity", b.say("column.quantity"), 42, func(r share) string { return b.quantity(r.Quantity) })
	c.words("source", b.say("column.contribution"), 48, func(r share) string { return b.words.Contribution(r.Source) })
	c.add("u", b.say("column.u"), middling, func(r share, _ int) cell {
		scale := r.budgetScale()
		return cell{value: scale.In(r.U), look: look{format: formatFor(r.U, scale)}}
	})
	c.words("unit", b.say("column.unit"), wide, func(r share) string { return b.budgetUnit(r) })
	c.add("share", b.say("column.share"), middling, func(r share, _ int) cell {
		return cell{value: r.Share, look: look{format: percentFormat}}
	})
	s := b.newSheet("budget", widths(c), firstRow)
	s.top("budget")
	if holds(s, "uncertainty_budget", b.shares()) {
		table(s, "uncertainty_budget", firstRow, c, b.shares())
	}
	return s.end()
}

// budgetScale is that of a contribution: of the logarithm where the quantity is decided on it.
func (r share) budgetScale() notation.Scale {
	if report.IsGrowth(r.Quantity) {
		return notation.Scale{}
	}
	return r.limit.scale
}

func (b *book) budgetUnit(r share) string {
	if report.IsGrowth(r.Quantity) {
		return b.say("of_logarithm")
	}
	return unitOf(r.limit.scale)
}

func (b *book) shares() iter.Seq[share] {
	return func(yield func(share) bool) {
		for j := range b.judgements() {
			for _, c := range j.Contributions {
				if !yield(share{j, c}) {
					return
				}
			}
		}
	}
}
