package leastsq

import "math"

// Covariance of the parameters for residuals of unit variance; multiply by the residual variance.
// Matrices are row-major. Where a parameter is not determined its variance is +Inf.
type Covariance struct {
	Local    [][]float64 // a block: Local × Local, as if the shared parameters were known
	Loadings [][]float64 // a block: Local × Shared, how its local parameters follow the shared ones
	Shared   []float64   // Shared × Shared
}

// Covariance evaluates (JᵀJ)⁻¹ at the given point, block by block through the triangles of the Jacobian,
// so that the condition is not squared. ok is false where the residuals cannot be computed.
func (s *Solver) Covariance(local [][]float64, shared []float64) (c Covariance, ok bool) {
	if !s.linearise(local, shared) {
		return c, false
	}
	n := s.problem.Shared
	clear(s.shared.stack)
	row := 0
	for i, b := range s.problem.Blocks {
		w := &s.blocks[i]
		inverse := invertTriangle(w.triangle, b.Local, w.width)
		c.Local = append(c.Local, gram(inverse, b.Local))
		c.Loadings = append(c.Loadings, loadings(inverse, w.triangle, b.Local, n, w.width))
		for r := b.Local; r < w.width-1; r++ {
			copy(s.shared.stack[row*(n+1)+r-b.Local:(row+1)*(n+1)], w.triangle[r*w.width+r:(r+1)*w.width])
			row++
		}
	}
	if n > 0 {
		s.qr.triangle(s.shared.stack, max(row, n+1), n+1)
		c.Shared = gram(invertTriangle(s.shared.stack, n, n+1), n)
	}
	return c, true
}

// invertTriangle inverts the leading size × size upper triangle of a. A pivot that is nothing but
// rounding against its column makes the parameter's row infinite.
func invertTriangle(a []float64, size, stride int) []float64 {
	inverse := make([]float64, size*size)
	for j := range size {
		var norm float64
		for r := 0; r <= j; r++ {
			norm = math.Hypot(norm, a[r*stride+j])
		}
		pivot := a[j*stride+j]
		if math.Abs(pivot) <= 1e-14*norm {
			pivot = 0
		}
		inverse[j*size+j] = 1 / pivot
		for r := j - 1; r >= 0; r-- {
			var sum float64
			for k := r + 1; k <= j; k++ {
				sum -= a[r*stride+k] * inverse[k*size+j]
			}
			inverse[r*size+j] = sum / a[r*stride+r]
		}
	}
	return inverse
}

// gram is U·Uᵀ of an upper triangle, with undetermined parameters' variances made +Inf, never NaN.
func gram(u []float64, size int) []float64 {
	g := make([]float64, size*size)
	for i := range size {
		for j := range size {
			var sum float64
			for k := max(i, j); k < size; k++ {
				sum += u[i*size+k] * u[j*size+k]
			}
			if math.IsNaN(sum) || math.IsInf(sum, 0) {
				sum = math.Inf(1)
				if i != j {
					sum = 0
				}
			}
			g[i*size+j] = sum
		}
	}
	return g
}

// loadings is −R₁₁⁻¹R₁₂.
func loadings(inverse, triangle []float64, local, shared, width int) []float64 {
	l := make([]float64, local*shared)
	for i := range local {
		for j := range shared {
			var sum float64
			for k := i; k < local; k++ {
				sum -= inverse[i*local+k] * triangle[k*width+local+j]
			}
			if math.IsNaN(sum) || math.IsInf(sum, 0) {
				sum = 0
			}
			l[i*shared+j] = sum
		}
	}
	return l
}
