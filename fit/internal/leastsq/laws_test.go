package leastsq

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// growth is blocks of y = a(1 − exp(−k·x)) + b·x with a and b of its own to each block and k shared.
type growth struct {
	x [][]float64
	y [][]float64
}

func newGrowth(seed uint64, blocks int) growth {
	random := rand.New(rand.NewPCG(seed, 2))
	var g growth
	for i := range blocks {
		x, y := make([]float64, 12+i), make([]float64, 12+i)
		for r := range x {
			x[r] = 0.3 * float64(r+1)
			y[r] = (2+float64(i))*(1-math.Exp(-0.8*x[r])) - 0.1*x[r] + 0.02*random.NormFloat64()
		}
		g.x, g.y = append(g.x, x), append(g.y, y)
	}
	return g
}

// row fills derivatives by a, b, k and returns the residual.
func (g growth) row(i, r int, a, b, k float64) (residual, byA, byB, byK float64) {
	x := g.x[i][r]
	e := math.Exp(-k * x)
	return a*(1-e) + b*x - g.y[i][r], 1 - e, x, a * x * e
}

// problem writes it in blocks with k shared.
func (g growth) problem() (p Problem, local [][]float64, shared []float64) {
	p.Shared = 1
	for i := range g.x {
		local = append(local, []float64{1, 0})
		p.Blocks = append(p.Blocks, Block{Rows: len(g.x[i]), Local: 2, Eval: func(local, shared, residual, jacobian []float64) bool {
			for r := range residual {
				v, a, b, k := g.row(i, r, local[0], local[1], shared[0])
				residual[r] = v
				if jacobian != nil {
					jacobian[3*r], jacobian[3*r+1], jacobian[3*r+2] = a, b, k
				}
			}
			return true
		}})
	}
	return p, local, []float64{0.3}
}

// dense writes it as one block with nothing shared, parameters a₀ b₀ a₁ b₁ … k.
func (g growth) dense() (p Problem, local [][]float64) {
	rows, width := 0, 2*len(g.x)+1
	for _, x := range g.x {
		rows += len(x)
	}
	start := make([]float64, width)
	for i := range g.x {
		start[2*i] = 1
	}
	start[width-1] = 0.3
	p.Blocks = []Block{{Rows: rows, Local: width, Eval: func(local, _, residual, jacobian []float64) bool {
		clear(jacobian)
		at := 0
		for i := range g.x {
			for r := range g.x[i] {
				v, a, b, k := g.row(i, r, local[2*i], local[2*i+1], local[width-1])
				residual[at] = v
				if jacobian != nil {
					row := jacobian[at*width : (at+1)*width]
					row[2*i], row[2*i+1], row[width-1] = a, b, k
				}
				at++
			}
		}
		return true
	}}}
	return p, [][]float64{start}
}

// Blocks are a way of writing, not another problem: solution, cost and covariance are those of the dense problem.
func TestBlocksEqualDense(t *testing.T) {
	g := newGrowth(1, 5)
	p, local, shared := g.problem()
	blocks := NewSolver(p)
	got := blocks.Minimise(local, shared, Settings{})
	q, whole := g.dense()
	dense := NewSolver(q)
	want := dense.Minimise(whole, nil, Settings{})
	if got.Status != Converged || want.Status != Converged || got.Iterations != want.Iterations || math.Abs(got.Cost/want.Cost-1) > 1e-12 {
		t.Errorf("blocks %+v, dense %+v", got, want)
	}
	flat := append(slices.Concat(local...), shared...)
	for j, v := range whole[0] {
		if math.Abs(flat[j]-v) > 1e-9*math.Abs(v) {
			t.Errorf("parameter %d is %v, dense %v", j, flat[j], v)
		}
	}
	c, _ := blocks.Covariance(local, shared)
	d, _ := dense.Covariance(whole, nil)
	size := len(flat)
	full := c.dense(2, 1)
	for i := range size {
		for j := range size {
			scale := math.Sqrt(d.Local[0][i*size+i] * d.Local[0][j*size+j])
			if math.Abs(full.At(i, j)-d.Local[0][i*size+j]) > 1e-9*scale {
				t.Errorf("covariance %d, %d is %v, dense %v", i, j, full.At(i, j), d.Local[0][i*size+j])
			}
		}
	}
}

// dense assembles the covariance of all parameters: locals = loadings·shared + own part.
func (c Covariance) dense(local, shared int) *mat.Dense {
	n := len(c.Local)*local + shared
	full := mat.NewDense(n, n, nil)
	s := mat.NewDense(shared, shared, c.Shared)
	at := len(c.Local) * local
	full.Slice(at, n, at, n).(*mat.Dense).Copy(s)
	for i := range c.Local {
		li := mat.NewDense(local, shared, c.Loadings[i])
		var cross mat.Dense
		cross.Mul(li, s)
		full.Slice(i*local, (i+1)*local, at, n).(*mat.Dense).Copy(&cross)
		full.Slice(at, n, i*local, (i+1)*local).(*mat.Dense).Copy(cross.T())
		for j := range c.Local {
			var part mat.Dense
			part.Mul(&cross, mat.NewDense(local, shared, c.Loadings[j]).T())
			if i == j {
				part.Add(&part, mat.NewDense(local, local, c.Local[i]))
			}
			full.Slice(i*local, (i+1)*local, j*local, (j+1)*local).(*mat.Dense).Copy(&part)
		}
	}
	return full
}

// The covariance is the inverse of JᵀJ, by gonum's own inversion.
func TestCovarianceIsInverse(t *testing.T) {
	g := newGrowth(2, 3)
	p, whole := g.dense()
	s := NewSolver(p)
	s.Minimise(whole, nil, Settings{})
	c, ok := s.Covariance(whole, nil)
	if !ok {
		t.Fatal("no covariance")
	}
	rows, n := p.Blocks[0].Rows, p.Blocks[0].Local
	jacobian := make([]float64, rows*n)
	p.Blocks[0].Eval(whole[0], nil, make([]float64, rows), jacobian)
	j := mat.NewDense(rows, n, jacobian)
	var product, inverse mat.Dense
	product.Mul(j.T(), j)
	if err := inverse.Inverse(&product); err != nil {
		t.Fatal(err)
	}
	for i, v := range c.Local[0] {
		if math.Abs(v-inverse.At(i/n, i%n)) > 1e-9*math.Abs(inverse.At(i/n, i/n)) {
			t.Errorf("element %d, %d is %v, want %v", i/n, i%n, v, inverse.At(i/n, i%n))
		}
	}
}

// scaled is a set with its parameter j measured in another unit, and its residuals in another.
func (s strdSet) scaled(units []float64, residualUnit float64) Block {
	inner := s.block(len(units))
	b := make([]float64, len(units))
	return Block{Rows: inner.Rows, Local: inner.Local, Eval: func(local, shared, residual, jacobian []float64) bool {
		for j, u := range units {
			b[j] = local[j] * u
		}
		ok := inner.Eval(b, shared, residual, jacobian)
		for i := range residual {
			residual[i] *= residualUnit
		}
		for i := range jacobian {
			jacobian[i] *= units[i%len(units)] * residualUnit
		}
		return ok
	}}
}

// The unit of a parameter or of the residuals changes neither the path nor the end. The units are powers of two, so
// that even rounding is the same.
func TestScalingLaw(t *testing.T) {
	for _, s := range strdSets(t) {
		want, at := s.solve(s.starts[1])
		units, start := make([]float64, len(at)), make([]float64, len(at))
		for j := range units {
			units[j] = math.Ldexp(1, 40-17*j)
			start[j] = s.starts[1][j] / units[j]
		}
		solver := NewSolver(Problem{Blocks: []Block{s.scaled(units, 1<<20)}})
		got := solver.Minimise([][]float64{start}, nil, Settings{})
		if got.Status != want.Status || got.Iterations != want.Iterations {
			t.Errorf("%s: %+v, was %+v", s.name, got, want.Solution)
		}
		for j := range start {
			if start[j]*units[j] != at[j] {
				t.Errorf("%s: parameter %d is %v, was %v", s.name, j+1, start[j]*units[j], at[j])
			}
		}
	}
}

// The order of observations changes nothing beyond rounding.
func TestRowOrderLaw(t *testing.T) {
	for _, s := range strdSets(t) {
		if s.name == "Lanczos1" {
			continue // its residuals are rounding, so that order decides their last digits
		}
		_, want := s.solve(s.starts[1])
		slices.Reverse(s.y)
		slices.Reverse(s.x)
		got, b := s.solve(s.starts[1])
		for j := range b {
			if math.Abs(b[j]-want[j]) > 1e-6*got.deviation[j]+1e-7*math.Abs(want[j]) {
				t.Errorf("%s: parameter %d is %v, was %v", s.name, j+1, b[j], want[j])
			}
		}
	}
}

// The cost never rises from step to step: with each limit of iterations it is at most that of the one before.
func TestCostNeverRises(t *testing.T) {
	for _, s := range strdSets(t) {
		before := math.Inf(1)
		for limit := 1; limit <= 40; limit += 3 {
			b := slices.Clone(s.starts[0])
			got := NewSolver(Problem{Blocks: []Block{s.block(len(b))}}).Minimise([][]float64{b}, nil, Settings{MaxIterations: limit})
			if got.Cost > before*(1+1e-12) {
				t.Errorf("%s: cost %v after %d iterations, %v before", s.name, got.Cost, limit, before)
			}
			before = got.Cost
		}
	}
}
