package xlsx

import (
	"iter"

	"ohmledger/report/notation"
)

// spectraUpTo is the number of measurements up to which their points are in the workbook.
const spectraUpTo = 2000

// point is a row of the spectra: one frequency of one measurement.
type point struct {
	measured
	p        int
	excluded string
}

// spectra lists measured and fitted points.
func (b *book) spectra() error {
	s := b.newSheet("spectra", widths(b.points), firstRow)
	s.top("spectra")
	if b.plan.points == nil {
		s.row(firstRow-1, words(s.say("points_left_out", spectraUpTo), look{}))
		return s.end()
	}
	table(s, "spectra", firstRow, b.points, b.allPoints())
	return s.end()
}

func (b *book) pointColumns() *columns[point] {
	c, ohm := newColumns[point](), b.plan.resistance
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(p point) string { return p.cell.Name })
	c.centred("measured_at", b.say("column.measured_at"), 15, func(p point, _ int) cell { return moment(p.Row) })
	c.add("frequency", b.head("frequency", notation.One)+" / Hz", middling, func(p point, _ int) cell {
		return cell{value: p.Spectrum.Frequency[p.p], look: look{format: frequencyFormat}}
	})
	part := func(key string, of func(p point) (float64, bool), s notation.Scale, format string) {
		c.add(key, withUnit(b.say("column."+key), s), middling, func(p point, _ int) cell {
			x, ok := of(p)
			if !ok {
				return cell{}
			}
			return number64(s.In(x), format)
		})
	}
	part("z_real", func(p point) (float64, bool) { return real(p.Spectrum.Impedance[p.p]), true }, ohm, impedanceFormat)
	part("z_minus_imag", func(p point) (float64, bool) { return -imag(p.Spectrum.Impedance[p.p]), true }, ohm, impedanceFormat)
	part("fit_real", func(p point) (float64, bool) { z, ok := p.of(p.fitted().Fitted); return real(z), ok }, ohm, impedanceFormat)
	part("fit_minus_imag", func(p point) (float64, bool) { z, ok := p.of(p.fitted().Fitted); return -imag(z), ok }, ohm, impedanceFormat)
	part("residual_real", func(p point) (float64, bool) { z, ok := p.of(p.fitted().Residuals); return real(z), ok }, notation.Scale{}, percentFormat)
	part("residual_imag", func(p point) (float64, bool) { z, ok := p.of(p.fitted().Residuals); return imag(z), ok }, notation.Scale{}, percentFormat)
	c.words("excluded", b.say("column.excluded"), wider, func(p point) string { return p.excluded })
	return c
}

// Formats of points, which have no uncertainty of their own.
const (
	frequencyFormat = "0.000E+00"
	impedanceFormat = "0.0000"
)

// of is this point's value of a list that the fit gives for every point, if it gave one.
func (p point) of(list []complex128) (complex128, bool) {
	if p.p >= len(list) {
		return 0, false
	}
	return list[p.p], true
}

func (b *book) allPoints() iter.Seq[point] {
	return func(yield func(point) bool) {
		for m := range b.measurements() {
			if m.Spectrum == nil {
				continue
			}
			why := map[int]string{}
			for _, e := range m.fitted().Excluded {
				why[e.Index] = e.Reason
			}
			for p := range m.Spectrum.Frequency {
				if !yield(point{m, p, why[p]}) {
					return
				}
			}
		}
	}
}
