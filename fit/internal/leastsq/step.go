package leastsq

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// factoriser makes triangles by Householder reflections in storage of its own.
type factoriser struct{ tau, work []float64 }

func newFactoriser(widest int) factoriser {
	return factoriser{make([]float64, widest), make([]float64, max(1, 32*widest))}
}

// triangle replaces the rows × cols matrix a (rows ≥ cols) by its upper triangle R.
func (f factoriser) triangle(a []float64, rows, cols int) {
	if cols == 0 || rows == 0 {
		return
	}
	lapack64.Geqrf(blas64.General{Rows: rows, Cols: cols, Stride: cols, Data: a[:rows*cols]}, f.tau[:cols], f.work, len(f.work))
}

// linearise evaluates the Jacobian at the present point and reduces each block to the triangle of
// [jacobian, residual], which has the same normal equations in a fraction of the rows.
func (s *Solver) linearise(local [][]float64, shared []float64) bool {
	clear(s.shared.norm2)
	for i, b := range s.problem.Blocks {
		w := &s.blocks[i]
		if !b.Eval(local[i], shared, w.residual, w.jacobian) {
			return false
		}
		w.reduce(b, s.qr, s.shared.norm2)
	}
	for j, v := range s.shared.norm2 {
		s.shared.scale[j] = remembered(s.shared.scale[j], math.Sqrt(v))
	}
	return true
}

// remembered is the scale of a column: its norm, or the fading one of earlier points where that is larger. Moré (1978)
// never lets a scale fall, so that a parameter that loses its effect does not run away; but a scale met once far from the
// minimum would then hold the steps small for ever. It stays usable for a column that is zero throughout.
func remembered(before, norm float64) float64 {
	const fading = 0.7
	if scale := math.Max(fading*before, norm); scale > 0 {
		return scale
	}
	return 1
}

func (w *blockWork) reduce(b Block, qr factoriser, sharedNorm2 []float64) {
	cols, n := w.width-1, w.width
	rows := max(b.Rows, n)
	for r := range b.Rows {
		copy(w.tall[r*n:r*n+cols], w.jacobian[r*cols:(r+1)*cols])
		w.tall[r*n+cols] = w.residual[r]
	}
	clear(w.tall[b.Rows*n : rows*n])
	qr.triangle(w.tall, rows, n)
	for r := range n {
		clear(w.triangle[r*n : r*n+r])
		copy(w.triangle[r*n+r:(r+1)*n], w.tall[r*n+r:(r+1)*n])
	}
	for j := range cols {
		norm2 := w.columnNorm2(j)
		if j < b.Local {
			w.scale[j] = remembered(w.scale[j], math.Sqrt(norm2))
		} else {
			sharedNorm2[j-b.Local] += norm2
		}
	}
}

// columnNorm2 is the squared norm of a column of the Jacobian: reflections leave it as it is, so that the
// triangle, which is small, serves.
func (w *blockWork) columnNorm2(j int) (sum float64) {
	for r := range j + 1 {
		v := w.triangle[r*w.width+j]
		sum += v * v
	}
	return sum
}

// solve finds the damped step (JᵀJ + λD²)δ = −Jᵀr: local parameters are eliminated block by block, the
// shared ones solved from what remains. It returns the fall in cost that the linear model predicts.
func (s *Solver) solve(damping float64) (predicted float64) {
	n := s.problem.Shared
	root := math.Sqrt(damping)
	clear(s.shared.stack)
	row := 0
	for i, b := range s.problem.Blocks {
		w := &s.blocks[i]
		w.eliminate(b.Local, root, s.qr)
		for r := b.Local; r < w.width; r++ {
			copy(s.shared.stack[row*(n+1)+r-b.Local:(row+1)*(n+1)], w.damped[r*w.width+r:(r+1)*w.width])
			row++
		}
	}
	for j, d := range s.shared.scale {
		s.shared.stack[(row+j)*(n+1)+j] = root * d
	}
	if n > 0 {
		s.qr.triangle(s.shared.stack, row+n, n+1)
		backSubstitute(s.shared.stack, n, n+1, n, s.shared.step)
	}
	for i, b := range s.problem.Blocks {
		s.blocks[i].finish(b.Local, s.shared.step)
	}
	return s.predicted(damping)
}

// eliminate makes the damped triangle of a block, its local columns first.
func (w *blockWork) eliminate(local int, root float64, qr factoriser) {
	n := w.width
	copy(w.damped, w.triangle)
	clear(w.damped[n*n : (n+local)*n])
	for j := range local {
		w.damped[(n+j)*n+j] = root * w.scale[j]
	}
	qr.triangle(w.damped, n+local, n)
}

// finish solves a block's local step once the shared step is known.
func (w *blockWork) finish(local int, sharedStep []float64) {
	n := w.width
	for r := local - 1; r >= 0; r-- {
		v := -w.damped[r*n+n-1]
		for j, d := range sharedStep {
			v -= w.damped[r*n+local+j] * d
		}
		for j := r + 1; j < local; j++ {
			v -= w.damped[r*n+j] * w.step[j]
		}
		w.step[r] = divide(v, w.damped[r*n+r])
	}
}

// backSubstitute solves R·x = −c where R is the upper triangle of a and c its column rhs.
func backSubstitute(a []float64, size, stride, rhs int, x []float64) {
	for r := size - 1; r >= 0; r-- {
		v := -a[r*stride+rhs]
		for j := r + 1; j < size; j++ {
			v -= a[r*stride+j] * x[j]
		}
		x[r] = divide(v, a[r*stride+r])
	}
}

func divide(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

// predicted is the fall in cost of the linear model: ‖Jδ‖² + 2λ‖Dδ‖² (Moré 1978, eq. 4.4).
func (s *Solver) predicted(damping float64) (fall float64) {
	for i, b := range s.problem.Blocks {
		w := &s.blocks[i]
		n := w.width
		for r := range n - 1 {
			var v float64
			for j := r; j < n-1; j++ {
				if j < b.Local {
					v += w.triangle[r*n+j] * w.step[j]
				} else {
					v += w.triangle[r*n+j] * s.shared.step[j-b.Local]
				}
			}
			fall += v * v
		}
		for j, d := range w.scale {
			fall += 2 * damping * d * d * w.step[j] * w.step[j]
		}
	}
	for j, d := range s.shared.scale {
		fall += 2 * damping * d * d * s.shared.step[j] * s.shared.step[j]
	}
	return fall
}
