package leastsq

import "math"

// Covariance of the parameters for residuals of unit variance; multiply by the residual variance.
// Matrices are row-major. Where a parameter is not determined its variance is +Inf.
type Covariance struct {
	Local    [][]float64 // a block: Local × Local, as if the shared parameters were known
	Loadings [][]float64 // a block: Local × Shared, how its local parameters follow the shared ones
	Shared   []float64   // Shared × Shared
}

// A column is held by a trace of damping, so that one without effect leaves what the others say about the shared
// parameters whole; a pivot that is little more than the trace says that its parameter is not determined.
const (
	trace        = 1e-26
	undetermined = 1e-12 // of the column's norm; the root of the trace is a tenth of it
)

// Covariance evaluates (JᵀJ)⁻¹ at the given point, block by block through the triangles of the Jacobian,
// so that the condition is not squared. ok is false where the residuals cannot be computed.
func (s *Solver) Covariance(local [][]float64, shared []float64) (c Covariance, ok bool) {
	s.resetScale()
	if !s.linearise(local, shared) {
		return c, false
	}
	s.solve(trace)
	n := s.problem.Shared
	for i, b := range s.problem.Blocks {
		w := &s.blocks[i]
		inverse := invertTriangle(w.damped, w.scale, w.width)
		c.Local = append(c.Local, gram(inverse, b.Local))
		c.Loadings = append(c.Loadings, loadings(inverse, w.damped, b.Local, n, w.width))
	}
	if n > 0 {
		c.Shared = gram(invertTriangle(s.shared.stack, s.shared.scale, n+1), n)
	}
	return c, true
}

// invertTriangle inverts the leading upper triangle of a, whose columns have the given norms. What hangs on an
// undetermined parameter becomes infinite.
func invertTriangle(a, norms []float64, stride int) []float64 {
	size := len(norms)
	inverse := make([]float64, size*size)
	pivot := make([]float64, size)
	for j, norm := range norms {
		if p := a[j*stride+j]; math.Abs(p) > undetermined*norm {
			pivot[j] = p
		}
		inverse[j*size+j] = 1 / pivot[j]
		for r := j - 1; r >= 0; r-- {
			var sum float64
			for k := r + 1; k <= j; k++ {
				if part := a[r*stride+k]; math.Abs(part) > undetermined*norms[k] {
					sum -= part * inverse[k*size+j]
				}
			}
			inverse[r*size+j] = sum / pivot[r]
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
