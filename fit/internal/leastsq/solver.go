package leastsq

import "math"

// Solver holds the working storage of one problem, so that an iteration allocates nothing.
type Solver struct {
	problem Problem
	blocks  []blockWork
	shared  sharedWork
	qr      factoriser
}

// blockWork is the storage of one block. Matrices are row-major.
type blockWork struct {
	residual, jacobian []float64 // at the present point
	trial              []float64 // residual at the trial point
	tall               []float64 // Rows × width: jacobian and residual, then its triangle
	damped             []float64 // (width+Local) × width
	triangle           []float64 // width × width: undamped triangle of [jacobian, residual]
	scale              []float64 // of the local columns: largest norm met
	step, local, bend  []float64 // local: the step, the trial point, the correction for curvature
	width              int       // Local + Shared + 1
}

type sharedWork struct {
	stack             []float64 // (blocks×(Shared+1)+Shared) × (Shared+1)
	norm2             []float64
	scale             []float64
	step, point, bend []float64
}

// NewSolver prepares the storage for a problem.
func NewSolver(p Problem) *Solver {
	s := &Solver{problem: p, blocks: make([]blockWork, len(p.Blocks))}
	n := p.Shared
	widest := n + 1
	for i, b := range p.Blocks {
		s.blocks[i] = newBlockWork(b, n)
		widest = max(widest, s.blocks[i].width)
	}
	s.shared = sharedWork{
		stack: make([]float64, (len(p.Blocks)*(n+1)+n)*(n+1)),
		norm2: make([]float64, n), scale: make([]float64, n),
		step: make([]float64, n), point: make([]float64, n), bend: make([]float64, n),
	}
	s.qr = newFactoriser(widest)
	return s
}

func newBlockWork(b Block, shared int) blockWork {
	w := b.Local + shared + 1
	return blockWork{
		residual: make([]float64, b.Rows), jacobian: make([]float64, b.Rows*(w-1)), trial: make([]float64, b.Rows),
		tall: make([]float64, max(b.Rows, w)*w), damped: make([]float64, (w+b.Local)*w), triangle: make([]float64, w*w),
		scale: make([]float64, b.Local), step: make([]float64, b.Local), local: make([]float64, b.Local), bend: make([]float64, b.Local),
		width: w,
	}
}

// residuals evaluates every block at the given point.
func (s *Solver) residuals(local [][]float64, shared []float64) (cost float64, ok bool) {
	for i, b := range s.problem.Blocks {
		r := s.blocks[i].residual
		if !b.Eval(local[i], shared, r, nil) {
			return math.NaN(), false
		}
		for _, v := range r {
			cost += v * v
		}
	}
	return cost, finite(cost)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func (s *Solver) resetScale() {
	clear(s.shared.scale)
	for i := range s.blocks {
		clear(s.blocks[i].scale)
	}
}

// stepIsSmall compares the step with the parameters, both in the scale of the columns.
func (s *Solver) stepIsSmall(local [][]float64, shared []float64, tolerance float64) bool {
	var step2, size2 float64
	add := func(scale, step, point []float64) {
		for j, d := range scale {
			step2 += d * d * step[j] * step[j]
			size2 += d * d * point[j] * point[j]
		}
	}
	for i := range s.blocks {
		add(s.blocks[i].scale, s.blocks[i].step, local[i])
	}
	add(s.shared.scale, s.shared.step, shared)
	return step2 <= tolerance*tolerance*size2
}

// try evaluates the cost after the given fraction of the step, leaving the parameters as they are.
func (s *Solver) try(local [][]float64, shared []float64, fraction float64) (cost float64, ok bool) {
	for j := range shared {
		s.shared.point[j] = shared[j] + fraction*s.shared.step[j]
	}
	for i, b := range s.problem.Blocks {
		w := &s.blocks[i]
		for j := range w.local {
			w.local[j] = local[i][j] + fraction*w.step[j]
		}
		if !b.Eval(w.local, s.shared.point, w.trial, nil) {
			return math.NaN(), false
		}
		for _, v := range w.trial {
			cost += v * v
		}
	}
	return cost, finite(cost)
}

func (s *Solver) accept(local [][]float64, shared []float64) {
	copy(shared, s.shared.point)
	for i := range s.blocks {
		copy(local[i], s.blocks[i].local)
	}
}
