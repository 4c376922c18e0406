package spectrum

import (
	"math"
	"math/cmplx"
)

// Bounds of what can be a measurement of a cell. A period of 30 years or a nanoohm is none, and
// beyond them models and weights overflow.
const (
	leastFrequency, mostFrequency = 1e-9, 1e9  // Hz
	leastImpedance, mostImpedance = 1e-9, 1e12 // ohm
)

// point is one row of a spectrum.
type point struct {
	row       *Row
	written   [3]float64 // as in the file: frequency, then Z' and Z'', or |Z| and phase
	frequency float64    // Hz
	impedance complex128 // ohm
}

// points reads the numbers of all rows; a row with a fault is left out.
func (r *reader) points(l layout) []point {
	columns := l.columns()
	numbers := r.table.Numbers(columns[0].index, columns[1].index, columns[2].index)
	points := make([]point, 0, len(r.table.Rows))
	for i := range r.table.Rows {
		p, sound := point{row: &r.table.Rows[i]}, true
		for j, c := range columns {
			cell := p.row.Cells[c.index]
			value, err := numbers.Parse(cell)
			if err != nil {
				r.faults.add(r.table.Fault(cell, "%s: %v", shorten(c.header.Text), err))
				sound = false
			}
			p.written[j] = value
		}
		if sound {
			points = append(points, p)
		}
	}
	return points
}

// convert turns points into SI and leaves out, each with a fault, those that no measurement can be.
// What depends on a unit that is not known stays unchecked: there is a fault already.
func (r *reader) convert(points []point, l layout, units [3]unit) []point {
	kept := points[:0]
	for _, p := range points {
		var si [3]float64
		for j := range si {
			if si[j] = p.written[j]; units[j].known() {
				si[j] = units[j].toSI(p.written[j])
			}
		}
		si[2] = r.sign(l)*si[2] + 0 // no negative zero
		p.frequency, p.impedance = si[0], complex(si[1], si[2])
		if l.polar {
			p.impedance = cmplx.Rect(si[1], si[2])
		}
		if r.plausible(p, l, units, si) {
			kept = append(kept, p)
		}
	}
	return kept
}

// plausible checks a point against what can be measured.
func (r *reader) plausible(p point, l layout, units [3]unit, si [3]float64) bool {
	size := cmplx.Abs(p.impedance)
	switch {
	case !(si[0] > 0) || units[0].known() && !(si[0] >= leastFrequency && si[0] <= mostFrequency):
		r.implausible(p, l.frequency, "a frequency above 0, from 1e-9 to 1e9 Hz, is needed")
	case l.polar && si[1] < 0:
		r.implausible(p, l.first, "a modulus is never negative")
	case l.polar && units[2].known() && math.Abs(si[2]) > 2*math.Pi:
		r.implausible(p, l.second, "at most one turn, 360 deg or 2π rad, is allowed")
	case size == 0:
		r.implausible(p, l.first, "an impedance of 0 ohm; a point that was not measured must be left out")
	case units[1].known() && units[2].known() && !(size >= leastImpedance && size <= mostImpedance):
		r.implausible(p, l.first, "an impedance of %.3g ohm; 1e-9 to 1e12 ohm are allowed", size)
	default:
		return true
	}
	return false
}

func (r *reader) implausible(p point, c *column, format string, arguments ...any) {
	cell := p.row.Cells[c.index]
	r.faults.add(r.table.Fault(cell, "%s: %s: "+format, append([]any{shorten(c.header.Text), quote(cell.Text)}, arguments...)...))
}
