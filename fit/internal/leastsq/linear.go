package leastsq

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Linear is a linear least-squares fit of a right-hand side by columns that are added one at a time, kept as
// Householder reflections (Golub and Van Loan, Matrix Computations, 5.2.1), so that columns can be taken off
// again at no cost. Householder's method needs no normal equations, whose squared condition would cost half
// the digits. After NewLinear nothing allocates.
type Linear struct {
	rows, columns int
	reflector     []float64 // column-major, rows × capacity: reflector k below and on the diagonal, R above it
	diagonal      []float64 // of R
	norm2         []float64 // of each reflector's vector, halved
	rhs           []float64 // column-major: rhs[k] has k reflections applied, each of length rows
}

// NewLinear prepares a fit to rows values by at most capacity columns.
func NewLinear(rows, capacity int) *Linear {
	return &Linear{
		rows: rows, reflector: make([]float64, rows*capacity),
		diagonal: make([]float64, capacity), norm2: make([]float64, capacity), rhs: make([]float64, rows*(capacity+1)),
	}
}

// Rows is the number of values fitted.
func (l *Linear) Rows() int { return l.rows }

// Columns is the number of columns in the fit at present.
func (l *Linear) Columns() int { return l.columns }

// Start takes a right-hand side and drops all columns.
func (l *Linear) Start(rhs []float64) {
	l.columns = 0
	copy(l.rhs[:l.rows], rhs)
}

// Keep drops all columns but the first n.
func (l *Linear) Keep(n int) { l.columns = min(n, l.columns) }

// Append adds a column. It panics where there is no room or there would be more columns than rows.
func (l *Linear) Append(column []float64) {
	k := l.columns
	if k == len(l.diagonal) || k >= l.rows {
		panic("leastsq: no room for another column")
	}
	v := l.column(k)
	copy(v, column[:l.rows])
	for j := range k {
		l.reflect(j, v)
	}
	tail := v[k:]
	norm := length(tail)
	// The sign that avoids cancellation in the first element.
	l.diagonal[k] = -math.Copysign(norm, tail[0])
	tail[0] -= l.diagonal[k]
	l.norm2[k] = -l.diagonal[k] * tail[0]
	next := l.right(k + 1)
	copy(next, l.right(k))
	l.reflect(k, next)
	l.columns++
}

// length is the Euclidean norm, by way of the slower guard against overflow only where it is needed.
func length(v []float64) float64 {
	if sum := floats.Dot(v, v); sum > 1e-280 && sum < 1e280 {
		return math.Sqrt(sum)
	}
	return floats.Norm(v, 2)
}

// reflect applies reflection j to a vector of length rows.
func (l *Linear) reflect(j int, x []float64) {
	if l.norm2[j] == 0 {
		return
	}
	v := l.column(j)[j:]
	floats.AddScaled(x[j:], -floats.Dot(v, x[j:])/l.norm2[j], v)
}

func (l *Linear) column(k int) []float64 { return l.reflector[k*l.rows : (k+1)*l.rows] }
func (l *Linear) right(k int) []float64  { return l.rhs[k*l.rows : (k+1)*l.rows] }

// SumOfSquares is that of the residuals.
func (l *Linear) SumOfSquares() float64 {
	tail := l.right(l.columns)[l.columns:]
	return floats.Dot(tail, tail)
}

// Coefficients writes one factor a column. The factor of a column that those before it already span is 0.
func (l *Linear) Coefficients(into []float64) {
	copy(into, l.right(l.columns)[:l.columns])
	for k := l.columns - 1; k >= 0; k-- {
		into[k] = divide(into[k], l.diagonal[k])
		floats.AddScaled(into[:k], -into[k], l.column(k)[:k])
	}
}

// Residuals writes right-hand side minus fit.
func (l *Linear) Residuals(into []float64) {
	copy(into, l.right(l.columns))
	clear(into[:l.columns])
	for k := l.columns - 1; k >= 0; k-- {
		l.reflect(k, into)
	}
}

// Diagonal is R of column k in its own row: how much of the column those before it leave, with a sign.
func (l *Linear) Diagonal(k int) float64 { return l.diagonal[k] }

// Unexplained is the sum of squares that the columns leave of another right-hand side, which it overwrites.
func (l *Linear) Unexplained(rhs []float64) float64 {
	for k := range l.columns {
		l.reflect(k, rhs)
	}
	return floats.Dot(rhs[l.columns:], rhs[l.columns:])
}

// Span returns orthonormal columns that span those of the fit, column-major, rows × columns.
func (l *Linear) Span() []float64 {
	q := make([]float64, l.rows*l.columns)
	for k := range l.columns {
		column := q[k*l.rows : (k+1)*l.rows]
		column[k] = 1
		for j := k; j >= 0; j-- {
			l.reflect(j, column)
		}
	}
	return q
}
