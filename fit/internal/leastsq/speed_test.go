package leastsq

import (
	"math/rand/v2"
	"testing"
)

// replayed is a block of fixed random numbers, to time the engine without a model.
func replayed(rows, local, shared int) Block {
	random := rand.New(rand.NewPCG(1, 3))
	values, derivatives := make([]float64, rows), make([]float64, rows*(local+shared))
	for i := range values {
		values[i] = random.NormFloat64()
	}
	for i := range derivatives {
		derivatives[i] = random.NormFloat64()
	}
	return Block{Rows: rows, Local: local, Eval: func(_, _, residual, jacobian []float64) bool {
		copy(residual, values)
		copy(jacobian, derivatives)
		return true
	}}
}

func TestMinimiseAllocatesNothing(t *testing.T) {
	p, local, shared := newGrowth(4, 6).problem()
	s := NewSolver(p)
	if n := testing.AllocsPerRun(20, func() {
		for i := range local {
			local[i][0], local[i][1] = 1, 0
		}
		shared[0] = 0.3
		s.Minimise(local, shared, Settings{})
	}); n != 0 {
		t.Errorf("%v allocations in a minimisation", n)
	}
}

// One damped step with 120 residuals and 8 parameters, the size of a spectrum.
func BenchmarkStep(b *testing.B) {
	s := NewSolver(Problem{Blocks: []Block{replayed(120, 8, 0)}})
	local := [][]float64{make([]float64, 8)}
	b.ReportAllocs()
	for b.Loop() {
		s.linearise(local, nil)
		s.solve(1e-3)
	}
}

// One damped step of fifty spectra with six parameters of their own and two shared.
func BenchmarkStepOfHistory(b *testing.B) {
	p := Problem{Shared: 2}
	var local [][]float64
	for range 50 {
		p.Blocks = append(p.Blocks, replayed(120, 6, 2))
		local = append(local, make([]float64, 6))
	}
	s, shared := NewSolver(p), make([]float64, 2)
	b.ReportAllocs()
	for b.Loop() {
		s.linearise(local, shared)
		s.solve(1e-3)
	}
}
