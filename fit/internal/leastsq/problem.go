// Package leastsq minimises a sum of squares over blocks of residuals that each have parameters of their own and may share some.
package leastsq

// Block is a group of residuals that depends on its own local parameters and on the shared ones.
type Block struct {
	Rows  int // number of residuals
	Local int // number of local parameters
	// Eval fills residual (length Rows) and, unless it is nil, jacobian (row-major, Rows × (Local+Shared),
	// local columns first, derivative of the residual). It returns false where no finite value can be had.
	Eval func(local, shared, residual, jacobian []float64) bool
}

// Problem is to minimise Σ over blocks Σ over rows residual².
type Problem struct {
	Blocks []Block
	Shared int
}

// Parameters is the number of parameters, local and shared together.
func (p Problem) Parameters() int {
	n := p.Shared
	for _, b := range p.Blocks {
		n += b.Local
	}
	return n
}

// Status says why the iteration ended.
type Status int

const (
	Converged     Status = iota + 1 // neither cost nor parameters change any more
	TooManySteps                    // the limit of iterations came first
	Stalled                         // no step lowers the cost although its slope is not zero
	NotComputable                   // the residuals at the start, or derivatives, are not finite
)

// Settings bound the iteration. Zero fields take the defaults.
type Settings struct {
	MaxIterations int // default 1000
	// RelativeCost is the fall of the cost that a free step promises, against the cost, at which it has converged; default
	// 1e-16. The root of it, times that of the number of values, is how far the parameters are from the
	// minimum in units of their standard uncertainty, whatever their scale and correlation.
	RelativeCost float64
	RelativeStep float64 // free step against the parameters' size at which it has converged; default 1e-10
	FirstDamping float64 // λ at the start, against the columns' squared norms; default 1e-3
	// LeastDamping is the λ of a free step; default 1e-15. A combination of parameters whose singular value is below its
	// root counts as one that the residuals do not determine, and nothing waits for it to converge.
	LeastDamping float64
}

func (s Settings) filled() Settings {
	if s.MaxIterations == 0 {
		s.MaxIterations = 1000
	}
	if s.RelativeCost == 0 {
		s.RelativeCost = 1e-16
	}
	if s.RelativeStep == 0 {
		s.RelativeStep = 1e-10
	}
	if s.FirstDamping == 0 {
		s.FirstDamping = 1e-3
	}
	if s.LeastDamping == 0 {
		s.LeastDamping = 1e-15
	}
	return s
}

// Solution is how a minimisation ended; the parameters themselves were changed in place.
type Solution struct {
	Status     Status
	Iterations int
	Cost       float64 // Σ residual²
}
