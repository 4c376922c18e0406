package kramerskronig

import (
	"math"
)

const (
	// MostJumps bounds the search for points at which what is measured changes at once.
	MostJumps = 3
	// besideJump is the number of points that must lie below one: at the end a stray point, a drift or a wobble does the same.
	besideJump = 6
	// aboveJump is the number that must lie above it: a sweep begins there and has not had time to drift.
	aboveJump = 3
)

// jumps finds where the rest of the sweep is moved along the real axis, as by a contact, or is another multiple of itself, as by a change of
// range, and that such a step improves the fit by more than chance, one after the other. It leaves the model as it was.
func (m *model) jumps() (found []Jump) {
	columns, first := m.linear.Columns(), m.linear.SumOfSquares()
	if m.exact() {
		return nil
	}
	defer m.linear.Keep(columns)
	for len(found) < MostJumps && m.freedom() > 4 {
		before := m.linear.SumOfSquares()
		best, fall := m.bestJump()
		chance := math.Pow(math.Max(0, 1-fall/before), float64(m.freedom()-1)/2)
		if chance*float64(2*len(m.omega)) >= significance {
			break
		}
		best.Share = fall / first
		found = append(found, best)
		m.append(m.stepFrom(best.Index, best.Scales))
	}
	return found
}

// stepFrom is the column of a jump: all of |Z| from a point on, or one unit of the real part.
func (m *model) stepFrom(point int, scales bool) func(i int) complex128 {
	return func(i int) complex128 {
		switch {
		case i < point:
			return 0
		case scales:
			return m.impedance[i]
		}
		return 1
	}
}

// bestJump is the one that takes most of the sum of squares away.
func (m *model) bestJump() (best Jump, fall float64) {
	columns, before := m.linear.Columns(), m.linear.SumOfSquares()
	for point := aboveJump; point <= len(m.omega)-besideJump; point++ {
		for _, scales := range [...]bool{false, true} {
			m.append(m.stepFrom(point, scales))
			if gain := before - m.linear.SumOfSquares(); gain > fall && m.linear.Diagonal(columns) != 0 {
				m.linear.Coefficients(m.factors[:columns+1])
				size := m.factors[columns]
				u := math.Sqrt(m.linear.SumOfSquares()/float64(m.freedom())) / math.Abs(m.linear.Diagonal(columns))
				if !scales {
					size, u = size*m.weight[point], u*m.weight[point]
				}
				best, fall = Jump{Index: point, Scales: scales, Change: size, StandardUncertainty: u}, gain
			}
			m.linear.Keep(columns)
		}
	}
	return best, fall
}
