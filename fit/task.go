package fit

import (
	"math"

	"ohmledger/fit/internal/leastsq"
)

// task is a set of spectra fitted together, at the present point of the fit.
type task struct {
	layout
	sheets []*sheet
	local  [][]float64
	shared []float64
	status leastsq.Status
	solver *leastsq.Solver // storage kept from one solution to the next; nil where the problem's shape has changed
	cost   float64
	led    bool // the exponents are those of other spectra
}

// joint reports whether the exponents are not one spectrum's own.
func (t *task) joint() bool { return t.led || len(t.sheets) > 1 }

// newTask begins a fit of the sheets at the given coordinates; the exponents are taken from the first.
func newTask(l layout, sheets []*sheet, at []vector) *task {
	t := &task{layout: l, sheets: sheets, shared: make([]float64, l.shared())}
	for i := range sheets {
		local := make([]float64, l.local())
		for j, slot := range l.sizes {
			local[j] = at[i][slot]
		}
		t.local = append(t.local, local)
	}
	if l.fixed == nil {
		for j, slot := range l.exponents {
			t.shared[j] = at[0][slot]
		}
	}
	return t
}

func (t *task) problem() leastsq.Problem {
	p := leastsq.Problem{Shared: t.layout.shared()}
	for _, s := range t.sheets {
		p.Blocks = append(p.Blocks, t.block(s))
	}
	if p.Shared > 0 {
		p.Blocks = append(p.Blocks, t.expected())
	}
	return p
}

// locals adds the empty local parameters of the block of expectations.
func (t *task) locals() [][]float64 {
	if t.layout.shared() == 0 {
		return t.local
	}
	return append(t.local[:len(t.local):len(t.local)], nil)
}

// solve moves the task to the least sum of squares near where it stands.
func (t *task) solve(settings leastsq.Settings) {
	s := t.solution().Minimise(t.locals(), t.shared, settings)
	t.status, t.cost = s.Status, s.Cost
}

// solution is the storage that the task is solved in.
func (t *task) solution() *leastsq.Solver {
	if t.solver == nil {
		t.solver = leastsq.NewSolver(t.problem())
	}
	return t.solver
}

// at is the coordinates of one spectrum.
func (t *task) at(i int) vector { return t.vector(t.local[i], t.shared, t.sheets[i].position) }

// relative fills the residuals of one spectrum's used points, (model − measured)/|measured|, parts in turn.
func (t *task) relative(i int, residual []float64) {
	s := *t.sheets[i]
	s.sigma = 1
	x := t.at(i)
	e := t.evaluator(&x)
	s.residuals(&e, residual)
}

// rms is the root mean square of a spectrum's relative residuals per part, corrected for its own parameters.
func (t *task) rms(i int) float64 {
	r := make([]float64, 2*len(t.sheets[i].points))
	t.relative(i, r)
	var sum float64
	for _, v := range r {
		sum += v * v
	}
	return math.Sqrt(sum / math.Max(1, float64(len(r)-t.layout.local())))
}

// ordered reports whether the film arc is the faster one in every spectrum.
func (t *task) ordered(i int) bool {
	if !t.film {
		return true
	}
	x := t.at(i)
	return x[slotFilmTime] < x[slotTransferTime]
}

// pinnedFrom is the coordinate beyond which an exponent has met its bound (within a hundredth of the
// interval): further steps change nothing but cost iterations. pinnedAt is where it is then held.
const (
	pinnedFrom = 4.5
	pinnedAt   = 9
)

// pinExtremes holds shared exponents that have met a bound and takes them out of the fit; it reports whether any was.
func (t *task) pinExtremes() (any bool) {
	var keep []int
	var shared []float64
	for j, slot := range t.exponents {
		if math.Abs(t.shared[j]) < pinnedFrom {
			keep, shared = append(keep, slot), append(shared, t.shared[j])
			continue
		}
		t.pinned = append(t.pinned, pin{slot, math.Copysign(pinnedAt, t.shared[j])})
		any = true
	}
	t.exponents, t.shared = keep, shared
	if any {
		t.solver = nil
	}
	return any
}
