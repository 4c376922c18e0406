package leastsq

const (
	// probe is the fraction of the step over which curvature is measured, and mostBend the length of the
	// correction, twice over, against that of the step beyond which the step is too long to be believed
	// (Transtrum and Sethna, arXiv:1201.5885, secs. 4 and 5).
	probe, mostBend = 0.1, 0.75
)

// bend adds to the step half the acceleration a along the curve that the step starts on, from the second derivative of the
// residuals in its direction, r″: (JᵀJ + λD²)a = −Jᵀr″. It returns false where the model bends too much, or cannot be
// computed, over a step of this length.
func (s *Solver) bend(local [][]float64, shared []float64) bool {
	if _, ok := s.try(local, shared, probe); !ok {
		return false
	}
	clear(s.shared.bend)
	for i, b := range s.problem.Blocks {
		s.blocks[i].curvature(b, s.shared.step, s.shared.bend)
	}
	s.solveBend()
	var bend2, step2 float64
	add := func(scale, bend, step []float64) {
		for j, d := range scale {
			bend2 += d * d * bend[j] * bend[j]
			step2 += d * d * step[j] * step[j]
		}
	}
	for i := range s.blocks {
		add(s.blocks[i].scale, s.blocks[i].bend, s.blocks[i].step)
	}
	add(s.shared.scale, s.shared.bend, s.shared.step)
	if !(4*bend2 <= mostBend*mostBend*step2) {
		return false
	}
	for i := range s.blocks {
		half(s.blocks[i].step, s.blocks[i].bend)
	}
	half(s.shared.step, s.shared.bend)
	return true
}

func half(step, bend []float64) {
	for j, a := range bend {
		step[j] += a / 2
	}
}

// curvature sets the local bend to −Jᵀr″ and adds the block's part of it to the shared one. The
// residuals at the probe are in trial.
func (w *blockWork) curvature(b Block, sharedStep, sharedBend []float64) {
	clear(w.bend)
	cols := w.width - 1
	for r := range b.Rows {
		row := w.jacobian[r*cols : (r+1)*cols]
		slope := 0.0
		for j, d := range w.step {
			slope += row[j] * d
		}
		for j, d := range sharedStep {
			slope += row[b.Local+j] * d
		}
		second := 2 / probe * ((w.trial[r]-w.residual[r])/probe - slope)
		for j := range w.bend {
			w.bend[j] -= row[j] * second
		}
		for j := range sharedBend {
			sharedBend[j] -= row[b.Local+j] * second
		}
	}
}

// solveBend solves RᵀR·a = −Jᵀr″ with the damped triangles that solve left. These are the seminormal equations, whose
// squared condition does no harm to a correction.
func (s *Solver) solveBend() {
	n := s.problem.Shared
	for i, b := range s.problem.Blocks {
		w := &s.blocks[i]
		forward(w.damped, b.Local, w.width, w.bend)
		for r, v := range w.bend {
			for j := range s.shared.bend {
				s.shared.bend[j] -= w.damped[r*w.width+b.Local+j] * v
			}
		}
	}
	forward(s.shared.stack, n, n+1, s.shared.bend)
	backward(s.shared.stack, n, n+1, s.shared.bend)
	for i, b := range s.problem.Blocks {
		w := &s.blocks[i]
		for r := range w.bend {
			for j, v := range s.shared.bend {
				w.bend[r] -= w.damped[r*w.width+b.Local+j] * v
			}
		}
		backward(w.damped, b.Local, w.width, w.bend)
	}
}

// forward solves Rᵀ·y = x in place, R the leading upper triangle of a.
func forward(a []float64, size, stride int, x []float64) {
	for r := range size {
		v := x[r]
		for k := range r {
			v -= a[k*stride+r] * x[k]
		}
		x[r] = divide(v, a[r*stride+r])
	}
}

// backward solves R·y = x in place.
func backward(a []float64, size, stride int, x []float64) {
	for r := size - 1; r >= 0; r-- {
		v := x[r]
		for k := r + 1; k < size; k++ {
			v -= a[r*stride+k] * x[k]
		}
		x[r] = divide(v, a[r*stride+r])
	}
}
