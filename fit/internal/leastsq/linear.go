package leastsq

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Linear is a linear least-squares fit of a right-hand side by columns that are added one at a time, kept as
// Householder reflections (Golub and Van Loan, Matrix Computations, 5.2.1), so that columns can be taken off
// again at no cost. Householder's method needs no normal equations, whose squared condition would cost half
// the digits. A column that those before it already span takes no part. After NewLinear only Span allocates.
type Linear struct {
	rows, columns int
	reflector     []float64 // column-major, rows × capacity: the reflection's vector from its pivot's row on, R above
	pivots        []pivot   // of the columns
	rhs           []float64 // column-major: rhs[k] has the reflections of k columns applied, each of length rows
}

// pivot is where a column has its diagonal of R: each that takes part in a row of its own.
type pivot struct {
	row      int     // its row, and the number of columns before it that take part
	takesIn  bool    // it takes part
	diagonal float64 // of R
	half     float64 // half the squared length of the reflection's vector
}

// spanned is the length that must remain of a column, against its length, for it to be one that others do not span.
const spanned = 1e-14

// NewLinear prepares a fit to rows values by at most capacity columns.
func NewLinear(rows, capacity int) *Linear {
	return &Linear{
		rows: rows, reflector: make([]float64, rows*capacity), pivots: make([]pivot, capacity),
		rhs: make([]float64, rows*(capacity+1)),
	}
}

// Rows is the number of values fitted.
func (l *Linear) Rows() int { return l.rows }

// Columns is the number of columns in the fit at present.
func (l *Linear) Columns() int { return l.columns }

// Rank is the number of them that take part.
func (l *Linear) Rank() int {
	if l.columns == 0 {
		return 0
	}
	last := l.pivots[l.columns-1]
	if last.takesIn {
		return last.row + 1
	}
	return last.row
}

// Start takes a right-hand side and drops all columns.
func (l *Linear) Start(rhs []float64) {
	l.columns = 0
	copy(l.rhs[:l.rows], rhs)
}

// Keep drops all columns but the first n.
func (l *Linear) Keep(n int) { l.columns = min(n, l.columns) }

// Append adds a column. It panics where there is no room or there would be more columns than rows.
func (l *Linear) Append(column []float64) {
	k, row := l.columns, l.Rank()
	if k == len(l.pivots) || row >= l.rows {
		panic("leastsq: no room for another column")
	}
	v := l.column(k)
	copy(v, column[:l.rows])
	whole := length(v)
	for j := range k {
		l.reflect(j, v)
	}
	next := l.right(k + 1)
	copy(next, l.right(k))
	l.columns++
	tail := v[row:]
	norm := length(tail)
	l.pivots[k] = pivot{row: row}
	if norm <= spanned*whole {
		return
	}
	// The sign that avoids cancellation in the first element.
	diagonal := -math.Copysign(norm, tail[0])
	tail[0] -= diagonal
	l.pivots[k] = pivot{row, true, diagonal, -diagonal * tail[0]}
	l.reflect(k, next)
}

// length is the Euclidean norm, by way of the slower guard against overflow only where it is needed.
func length(v []float64) float64 {
	if sum := floats.Dot(v, v); sum > 1e-280 && sum < 1e280 {
		return math.Sqrt(sum)
	}
	return floats.Norm(v, 2)
}

// reflect applies the reflection of column j to a vector of length rows.
func (l *Linear) reflect(j int, x []float64) {
	p := l.pivots[j]
	if !p.takesIn {
		return
	}
	v := l.column(j)[p.row:]
	floats.AddScaled(x[p.row:], -floats.Dot(v, x[p.row:])/p.half, v)
}

func (l *Linear) column(k int) []float64 { return l.reflector[k*l.rows : (k+1)*l.rows] }
func (l *Linear) right(k int) []float64  { return l.rhs[k*l.rows : (k+1)*l.rows] }

// SumOfSquares is that of the residuals.
func (l *Linear) SumOfSquares() float64 {
	tail := l.right(l.columns)[l.Rank():]
	return floats.Dot(tail, tail)
}

// Coefficients writes one factor a column; that of a column that takes no part is 0.
func (l *Linear) Coefficients(into []float64) {
	for k := l.columns - 1; k >= 0; k-- {
		p := l.pivots[k]
		into[k] = 0
		if !p.takesIn {
			continue
		}
		left := l.right(l.columns)[p.row]
		for j := k + 1; j < l.columns; j++ {
			left -= into[j] * l.column(j)[p.row]
		}
		into[k] = left / p.diagonal
	}
}

// Residuals writes right-hand side minus fit.
func (l *Linear) Residuals(into []float64) {
	copy(into, l.right(l.columns))
	clear(into[:l.Rank()])
	for k := l.columns - 1; k >= 0; k-- {
		l.reflect(k, into)
	}
}

// Diagonal is R of column k in its own row: how much of the column those before it leave, with a sign; 0 where it takes no part.
func (l *Linear) Diagonal(k int) float64 { return l.pivots[k].diagonal }

// Unexplained is the sum of squares that the columns leave of another right-hand side, which it overwrites.
func (l *Linear) Unexplained(rhs []float64) float64 {
	for k := range l.columns {
		l.reflect(k, rhs)
	}
	tail := rhs[l.Rank():]
	return floats.Dot(tail, tail)
}

// Span returns orthonormal columns that span those of the fit, column-major, rows × Rank.
func (l *Linear) Span() []float64 {
	rank := l.Rank()
	q := make([]float64, l.rows*rank)
	for k := range rank {
		column := q[k*l.rows : (k+1)*l.rows]
		column[k] = 1
		for j := l.columns - 1; j >= 0; j-- {
			if l.pivots[j].row <= k {
				l.reflect(j, column)
			}
		}
	}
	return q
}
