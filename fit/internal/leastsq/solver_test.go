package leastsq

import (
	"math"
	"testing"
)

// decay is y = exp(−shared·t)·local, the smallest problem with both kinds of parameter.
func decay(t, y []float64) Block {
	return Block{Rows: len(t), Local: 1, Eval: func(local, shared, residual, jacobian []float64) bool {
		for i := range t {
			e := math.Exp(-shared[0] * t[i])
			residual[i] = local[0]*e - y[i]
			if jacobian != nil {
				jacobian[2*i], jacobian[2*i+1] = e, -t[i]*local[0]*e
			}
		}
		return true
	}}
}

func TestSharedParameterIsRecovered(t *testing.T) {
	at := []float64{0, 1, 2, 3, 4}
	truth := []float64{2, 5, 0.5}
	var p Problem
	p.Shared = 1
	var local [][]float64
	for _, a := range truth {
		y := make([]float64, len(at))
		for i := range at {
			y[i] = a * math.Exp(-0.7*at[i])
		}
		p.Blocks = append(p.Blocks, decay(at, y))
		local = append(local, []float64{1})
	}
	shared := []float64{0.1}
	got := NewSolver(p).Minimise(local, shared, Settings{})
	if got.Status != Converged || math.Abs(shared[0]-0.7) > 1e-9 {
		t.Fatalf("status %v after %d iterations, shared %v, cost %v", got.Status, got.Iterations, shared, got.Cost)
	}
	for i, a := range truth {
		if math.Abs(local[i][0]-a) > 1e-9*a {
			t.Errorf("local %d is %v, want %v", i, local[i][0], a)
		}
	}
}
