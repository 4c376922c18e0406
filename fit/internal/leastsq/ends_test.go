package leastsq

import (
	"math"
	"testing"
)

// minimised runs one block of local parameters only.
func minimised(b Block, start []float64, settings Settings) Solution {
	return NewSolver(Problem{Blocks: []Block{b}}).Minimise([][]float64{start}, nil, settings)
}

// single is a block of one residual and one parameter.
func single(value, slope func(x float64) float64) Block {
	return Block{Rows: 1, Local: 1, Eval: func(local, _, residual, jacobian []float64) bool {
		residual[0] = value(local[0])
		if jacobian != nil {
			jacobian[0] = slope(local[0])
		}
		return !math.IsNaN(residual[0])
	}}
}

func TestNotComputableStart(t *testing.T) {
	for name, value := range map[string]float64{"not a number": math.NaN(), "infinite": math.Inf(1), "overflow of the square": 1e200} {
		b := single(func(float64) float64 { return value }, func(float64) float64 { return 1 })
		if got := minimised(b, []float64{1}, Settings{}); got.Status != NotComputable {
			t.Errorf("%s: %+v", name, got)
		}
	}
	broken := single(func(x float64) float64 { return x }, func(float64) float64 { return math.NaN() })
	if got := minimised(broken, []float64{1}, Settings{}); got.Status != NotComputable {
		t.Errorf("derivative not a number: %+v", got)
	}
	refused := single(func(float64) float64 { return math.NaN() }, func(float64) float64 { return 1 })
	if _, ok := NewSolver(Problem{Blocks: []Block{refused}}).Covariance([][]float64{{1}}, nil); ok {
		t.Error("a covariance where nothing can be computed")
	}
}

// A step into a region where the model cannot be computed is shortened, not the end: ln x has no value for x ≤ 0,
// where the first free step from 4 towards the root at 0.01 would go.
func TestStepsOutOfTheDomainAreShortened(t *testing.T) {
	b := single(func(x float64) float64 { return math.Log(x) - math.Log(0.01) }, func(x float64) float64 { return 1 / x })
	x := []float64{4}
	if got := minimised(b, x, Settings{}); got.Status != Converged || math.Abs(x[0]-0.01) > 1e-9 {
		t.Errorf("%+v at %v", got, x)
	}
}

func TestTooManySteps(t *testing.T) {
	for _, s := range strdSets(t) {
		if s.name != "MGH10" {
			continue
		}
		b := append([]float64(nil), s.starts[0]...)
		got := minimised(s.block(len(b)), b, Settings{MaxIterations: 20})
		if got.Status != TooManySteps || got.Iterations != 20 {
			t.Errorf("%+v after a limit of 20", got)
		}
	}
}

// A derivative of the wrong sign promises what no step keeps: that is a stall, never convergence.
func TestWrongDerivativeStalls(t *testing.T) {
	b := single(func(x float64) float64 { return 1 + x*x + x }, func(x float64) float64 { return -(2*x + 1) })
	if got := minimised(b, []float64{2}, Settings{}); got.Status != Stalled {
		t.Errorf("%+v", got)
	}
}

// A minimum at which the residual is large and its slope zero is one, reached in few steps.
func TestLargeResidual(t *testing.T) {
	b := Block{Rows: 2, Local: 1, Eval: func(local, _, residual, jacobian []float64) bool {
		x := local[0]
		residual[0], residual[1] = x+10, x*x/10-10
		if jacobian != nil {
			jacobian[0], jacobian[1] = 1, x/5
		}
		return true
	}}
	x := []float64{3}
	got := minimised(b, x, Settings{})
	// The slope x + 10 + x(x²/10 − 10)/5 has its zero where x³ − 50x + 500 = 0.
	if slope := x[0]*x[0]*x[0] - 50*x[0] + 500; got.Status != Converged || math.Abs(slope) > 1e-5 {
		t.Errorf("%+v at %v, slope %v", got, x, slope)
	}
}

// At an exact solution from the start, and at one reached, the end is convergence.
func TestExactSolution(t *testing.T) {
	b := single(func(x float64) float64 { return x*x - 2 }, func(x float64) float64 { return 2 * x })
	for _, start := range []float64{math.Sqrt2, 1, 30, -5} {
		x := []float64{start}
		if got := minimised(b, x, Settings{}); got.Status != Converged || math.Abs(math.Abs(x[0])-math.Sqrt2) > 1e-14 {
			t.Errorf("from %v: %+v at %v", start, got, x)
		}
	}
	still := single(func(float64) float64 { return 0 }, func(float64) float64 { return 0 })
	if got := minimised(still, []float64{1}, Settings{}); got.Status != Converged {
		t.Errorf("nothing to minimise: %+v", got)
	}
}

// line is y = a + b·x with a third parameter as given by its column of the Jacobian.
func line(third func(x float64) float64) Block {
	x := []float64{0, 1, 2, 3, 4}
	y := []float64{1, 3.1, 4.9, 7.2, 8.8}
	return Block{Rows: 5, Local: 3, Eval: func(local, _, residual, jacobian []float64) bool {
		for i := range x {
			residual[i] = local[0] + local[1]*x[i] + local[2]*third(x[i]) - y[i]
			if jacobian != nil {
				jacobian[3*i], jacobian[3*i+1], jacobian[3*i+2] = 1, x[i], third(x[i])
			}
		}
		return true
	}}
}

// A parameter without effect keeps its value and has no finite variance; the others are as if it were not there.
func TestParameterWithoutEffect(t *testing.T) {
	b := line(func(float64) float64 { return 0 })
	x := []float64{0, 0, 7}
	s := NewSolver(Problem{Blocks: []Block{b}})
	got := s.Minimise([][]float64{x}, nil, Settings{})
	c, _ := s.Covariance([][]float64{x}, nil)
	v := c.Local[0]
	// Straight line through five points: variances Σx²/(nΣ(x−x̄)²) = 0.6 and 1/Σ(x−x̄)² = 0.1.
	known := math.Abs(v[0]-0.6) < 1e-12 && math.Abs(v[4]-0.1) < 1e-12 && v[2] == 0
	if got.Status != Converged || x[2] != 7 || !math.IsInf(v[8], 1) || !known {
		t.Errorf("%+v at %v, covariance %v", got, x, v)
	}
}

// Of two parameters with the same effect neither is determined; what is, is.
func TestParametersWithTheSameEffect(t *testing.T) {
	b := line(func(x float64) float64 { return x })
	x := []float64{0, 0, 0}
	s := NewSolver(Problem{Blocks: []Block{b}})
	got := s.Minimise([][]float64{x}, nil, Settings{})
	c, _ := s.Covariance([][]float64{x}, nil)
	v := c.Local[0]
	unknown := math.IsInf(v[4], 1) && math.IsInf(v[8], 1)
	if got.Status != Converged || math.Abs(x[1]+x[2]-1.97) > 1e-9 || !unknown || math.IsNaN(v[0]) {
		t.Errorf("%+v at %v, covariance %v", got, x, v)
	}
}

// A local parameter without effect takes nothing from what its block says about the shared ones.
func TestLocalWithoutEffectLeavesShared(t *testing.T) {
	eval := func(local, shared, residual, jacobian []float64) bool {
		for i := range residual {
			residual[i] = shared[0] - float64(i)
			if jacobian != nil {
				jacobian[2*i], jacobian[2*i+1] = 0, 1
			}
		}
		return true
	}
	s := NewSolver(Problem{Blocks: []Block{{Rows: 4, Local: 1, Eval: eval}}, Shared: 1})
	shared := []float64{9}
	got := s.Minimise([][]float64{{1}}, shared, Settings{})
	c, _ := s.Covariance([][]float64{{1}}, shared)
	unknown := math.IsInf(c.Local[0][0], 1) && c.Loadings[0][0] == 0
	if got.Status != Converged || math.Abs(shared[0]-1.5) > 1e-12 || math.Abs(c.Shared[0]-0.25) > 1e-12 || !unknown {
		t.Errorf("%+v at %v, covariance %+v", got, shared, c)
	}
}

// Fewer residuals than parameters: solved, with nothing determined for certain.
func TestFewerResidualsThanParameters(t *testing.T) {
	b := Block{Rows: 1, Local: 2, Eval: func(local, _, residual, jacobian []float64) bool {
		residual[0] = local[0] + local[1] - 3
		if jacobian != nil {
			jacobian[0], jacobian[1] = 1, 1
		}
		return true
	}}
	x := []float64{0, 1}
	if got := minimised(b, x, Settings{}); got.Status != Converged || math.Abs(x[0]+x[1]-3) > 1e-12 {
		t.Errorf("%+v at %v", got, x)
	}
}
