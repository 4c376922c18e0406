package fit

import (
	"math"
	"slices"

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

// Beyond pinnedFrom an exponent is within a hundredth of its interval from its bound, and further steps cost iterations. It is
// held at pinnedAt where the spectra cannot tell that from where it stands: where the sum of squares rises by less than
// pinnedWithin, a standard deviation.
const (
	pinnedFrom   = 4.5
	pinnedAt     = 9
	pinnedWithin = 1
)

// pinExtremes holds shared exponents that have met a bound, takes them out of the fit and solves anew; it returns the task
// that is left, the same one where there is none.
func (t *task) pinExtremes() *task {
	for j := len(t.exponents) - 1; j >= 0; j-- {
		if math.Abs(t.shared[j]) < pinnedFrom {
			continue
		}
		expected := square((t.shared[j] - expectations[t.exponents[j]].centre) / expectations[t.exponents[j]].width(t.strain))
		if p := t.pinnedAt(j); p.cost < t.cost-expected+pinnedWithin {
			t = p
		}
	}
	return t
}

// pinnedAt is the fit with one shared exponent held at its bound.
func (t *task) pinnedAt(j int) *task {
	l := t.layout
	l.pinned = append(slices.Clone(t.pinned), pin{t.exponents[j], math.Copysign(pinnedAt, t.shared[j])})
	l.exponents = slices.Delete(slices.Clone(t.exponents), j, j+1)
	at := make([]vector, len(t.sheets))
	for i := range at {
		at[i] = t.at(i)
	}
	p := newTask(l, t.sheets, at)
	p.solve(rough)
	return p
}
