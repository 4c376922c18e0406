package xlsx

import (
	"iter"
	"math"

	"ohmledger/health"
)

// departed is a row of the departures: how far a cell is from the reference cells in one growth.
type departed struct {
	*health.Departure
	cell *health.Cell
}

// departures lists how the cells stand against the reference cells, where growths are measured against such.
func (b *book) departures() error {
	any := false
	for range b.allDepartures() {
		any = true
	}
	if !any {
		return nil
	}
	c := newColumns[departed]()
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(d departed) string { return d.cell.Name })
	c.words("quantity", b.say("column.quantity"), 42, func(d departed) string { return b.quantity(d.Quantity) })
	each := func(key, format string, of func(d departed) float64) {
		c.figure(b, key, func(d departed) cell { return number64(of(d), format) })
	}
	each("departure", percentFormat, func(d departed) float64 { return math.Expm1(d.Log) })
	each("departure_measurement", percentFormat, func(d departed) float64 { return d.Measurement })
	each("departure_group", percentFormat, func(d departed) float64 { return d.Group })
	c.figure(b, "departure_cells", func(d departed) cell { return cell{value: d.GroupCells} })
	each("departure_score", "0.00", func(d departed) float64 { return d.Score })
	each("departure_critical", "0.00", func(d departed) float64 { return d.Critical })
	c.words("departs", b.say("column.lot_departs"), middling, func(d departed) string { return b.yesNo(d.Departs) })
	c.words("dominant", b.say("column.departure_dominant"), wide, func(d departed) string { return b.say("departure." + d.Dominant) })
	c.words("reason", b.say("column.reason_issued"), widest, func(d departed) string { return d.Reason })
	s := b.newSheet("departures", widths(c), firstRow)
	s.top("departures")
	table(s, "departures", firstRow, c, b.allDepartures())
	return s.end()
}

func (b *book) allDepartures() iter.Seq[departed] {
	return func(yield func(departed) bool) {
		for _, c := range b.cells() {
			for i := range c.Departures {
				if !yield(departed{&c.Departures[i], c}) {
					return
				}
			}
		}
	}
}
