package xlsx

import (
	"iter"
	"math"
	"strings"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// standout is a row of the outliers: a cell that stands out in one quantity.
type standout struct {
	*health.Outlier
	of *health.LotQuantity
}

// outliers lists the cells that stand out, with what was measured about each.
func (b *book) outliers() error {
	l := b.doc.Assessment.Lot
	if l == nil || len(l.Quantities) == 0 {
		return nil
	}
	c := b.outlierColumns()
	s := b.newSheet("outliers", widths(c), firstRow)
	s.top("outliers")
	if after := table(s, "outliers", firstRow, c, standouts(l)); after == firstRow {
		s.row(after, words(s.say("outliers.none"), look{}))
	} else {
		s.tint(c.at("verdict", firstRow) + ":" + c.at("verdict", after))
	}
	return s.end()
}

func standouts(l *health.Lot) iter.Seq[standout] {
	return func(yield func(standout) bool) {
		for i := range l.Quantities {
			for k := range l.Quantities[i].Outliers.Cells {
				if !yield(standout{&l.Quantities[i].Outliers.Cells[k], &l.Quantities[i]}) {
					return
				}
			}
		}
	}
}

func (b *book) outlierColumns() *columns[standout] {
	c := newColumns[standout]()
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(o standout) string { return o.Cell })
	c.words("part", b.say("column.lot_part"), b.partWidth(), func(o standout) string { return o.Group })
	c.words("quantity", b.say("column.outlying"), 42, func(o standout) string { return b.quantity(o.of.Quantity) })
	c.figure(b, "value", func(o standout) cell { return estimate(o.Value, b.scaleOf(o.of.Quantity)) })
	c.figure(b, "u", func(o standout) cell { return uncertainty(o.Value, b.scaleOf(o.of.Quantity)) })
	c.words("unit", b.say("column.unit"), narrow, func(o standout) string { return unitOf(b.scaleOf(o.of.Quantity)) })
	c.centred("verdict", b.say("column.verdict_issued"), 17, func(o standout, _ int) cell {
		return cell{value: b.verdict(o.Verdict), look: look{side: "center"}}
	})
	c.words("marked", b.say("column.marked_by"), wide, b.markedBy)
	each := func(key, format string, of func(o standout) float64) {
		c.figure(b, key, func(o standout) cell { return number64(of(o), format) })
	}
	each("modified_z", "0.0", func(o standout) float64 { return o.ModifiedZ })
	each("deviate", "0.00", func(o standout) float64 { return o.Deviate })
	each("deviate_limit", "0.00", func(o standout) float64 { return o.DeviateLimit })
	each("own_uncertainties", "0.0", func(o standout) float64 { return o.Uncertainties })
	c.words("others", b.say("column.elsewhere"), wider, b.elsewhere)
	c.words("findings", b.say("column.findings"), wide, func(o standout) string { return strings.Join(o.Findings, ", ") })
	return c
}

// markedBy names the tests that mark an outlier.
func (b *book) markedBy(o standout) string {
	var by []string
	if o.ByDeviate {
		by = append(by, b.say("outliers.deviate"))
	}
	if limit := o.of.Outliers.ModifiedZLimit; limit > 0 && math.Abs(o.ModifiedZ) > limit {
		by = append(by, b.say("outliers.modified_z"))
	}
	return listed(by)
}

// elsewhere is where an outlier stands in the other quantities.
func (b *book) elsewhere(o standout) string {
	var others []string
	for _, q := range o.Others {
		if !math.IsNaN(q.ModifiedZ) {
			z := b.words.Notation().Fixed(q.ModifiedZ, 1, notation.One.Scale())
			others = append(others, b.say("outliers.elsewhere", map[string]any{"Quantity": b.quantity(q.Quantity), "Z": z}))
		}
	}
	return listed(others)
}
