package kramerskronig

import (
	"math"
)

const (
	// mostOutliers bounds the search; more than this many bad points are not outliers but a bad spectrum.
	mostOutliers = 5
	// significance at which a point is called an outlier, over all points of the spectrum (Bonferroni).
	significance = 0.01
)

// drift appends the column that a factor growing in step with time makes, reads it and takes it off again. Where
// Z_measured − a·t/T·Z_measured is what an unchanging cell shows, a is the factor of the column t/T·Z_measured.
func (m *model) drift() Drift {
	before, columns := m.linear.SumOfSquares(), m.linear.Columns()
	if m.freedom() < 2 || m.exact() {
		return Drift{}
	}
	defer m.linear.Keep(columns)
	elapsed, total := 0.0, 0.0
	for _, omega := range m.omega {
		total += 1 / omega
	}
	m.append(func(i int) complex128 {
		elapsed += 1 / m.omega[i]
		return complex(elapsed/total, 0) * m.impedance[i]
	})
	after, own := m.linear.SumOfSquares(), math.Abs(m.linear.Diagonal(columns))
	if own == 0 {
		return Drift{}
	}
	m.linear.Coefficients(m.factors[:columns+1])
	deviation := math.Sqrt(after/float64(m.freedom())) / own
	return Drift{m.factors[columns], deviation, math.Max(0, 1-after/before)}
}

// exact says that the residuals are nothing but rounding, which has no shape.
func (m *model) exact() bool {
	const rounding = 1e-12 // of |Z|
	return m.noise() < rounding
}

// reversedRMS is what the fitted columns leave of the conjugate spectrum.
func (m *model) reversedRMS() float64 {
	n := len(m.omega)
	m.fill(func(i int) complex128 { return complex(real(m.impedance[i]), -imag(m.impedance[i])) })
	return math.Sqrt(m.linear.Unexplained(m.column) / float64(2*n))
}

// outliers finds the points that leaving out improves the fit by more than chance, one after the other, each
// together with those found before (as the generalised ESD test does: Rosner, Technometrics 25 (1983) 165). It
// leaves the model with two more columns for each.
func (m *model) outliers() (found []Outlier) {
	first := m.linear.SumOfSquares()
	if m.exact() {
		return nil
	}
	for len(found) < mostOutliers && m.freedom() > 4 {
		worst, fall := m.worst()
		left := math.Max(0, 1-fall/m.linear.SumOfSquares())
		// F test of the two parts of a point: P(F(2,ν) > F) is (1 − fall/sum)^(ν/2).
		chance := math.Pow(left, float64(m.freedom()-2)/2)
		if chance*float64(len(m.omega)) >= significance {
			break
		}
		worst.Share = fall / first
		worst.StandardUncertainty *= math.Sqrt(left * m.linear.SumOfSquares() / float64(m.freedom()-2))
		found = append(found, worst)
		m.leaveOut(worst.Index)
	}
	return found
}

// leaveOut gives both parts of a point a column of its own.
func (m *model) leaveOut(point int) {
	n := len(m.omega)
	for _, row := range []int{point, n + point} {
		clear(m.column)
		m.column[row] = 1
		m.linear.Append(m.column)
	}
}

// worst finds the point whose leaving out lowers the sum of squares most. With the 2×2 block A of 1 − H that belongs
// to its parts and their residuals r, the others predict it with the error A⁻¹r, and the sum falls by
// rᵀA⁻¹r (Cook, Technometrics 19 (1977) 15, for one row).
func (m *model) worst() (worst Outlier, fall float64) {
	n := len(m.omega)
	rr, ii, ri := m.free()
	m.linear.Residuals(m.column)
	for i := range n {
		x, y := m.column[i], m.column[n+i]
		determinant := rr[i]*ii[i] - ri[i]*ri[i]
		// A point that only itself determines, or that is left out already, cannot be checked by the others.
		if determinant < 1e-6 {
			continue
		}
		ex, ey := (ii[i]*x-ri[i]*y)/determinant, (rr[i]*y-ri[i]*x)/determinant
		if gain := x*ex + y*ey; gain > fall {
			// A⁻¹ is the covariance of the error for noise of 1: half its trace is the mean variance of a part.
			worst = Outlier{Index: i, Error: complex(ex, ey), StandardUncertainty: math.Sqrt((rr[i] + ii[i]) / determinant / 2)}
			fall = gain
		}
	}
	return worst, fall
}

// free is the block of 1 − H of each point: of its real part, of its imaginary part, and between them.
func (m *model) free() (rr, ii, ri []float64) {
	n := len(m.omega)
	room := make([]float64, 3*n)
	rr, ii, ri = room[:n], room[n:2*n], room[2*n:]
	for i := range n {
		rr[i], ii[i] = 1, 1
	}
	span := m.linear.Span()
	for at := 0; at < len(span); at += 2 * n {
		re, im := span[at:at+n], span[at+n:at+2*n]
		for i, q := range re {
			rr[i] -= q * q
			ii[i] -= im[i] * im[i]
			ri[i] -= q * im[i]
		}
	}
	return rr, ii, ri
}
