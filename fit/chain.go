package fit

import (
	"math"
	"slices"

	"ohmledger/fit/internal/leastsq"
)

// rough ends an iteration that only has to choose between starts.
var rough = leastsq.Settings{MaxIterations: 60, RelativeCost: 1e-3, RelativeStep: 1e-3}

// fine ends the fit itself.
var fine = leastsq.Settings{MaxIterations: 200, RelativeCost: 1e-7, RelativeStep: 1e-7}

// representatives is how many spectra of a history settle the exponents that the others start from.
const representatives = 5

// startStructure fits all traces with one structure: first a few spread over the history, from several
// guesses; then each of the others from its nearest solved neighbour; then all together, roughly.
func startStructure(s structure, traces []*trace) *task {
	expectSizes(traces, s.film)
	few := spread(len(traces), representatives)
	first := bestStart(newLayout(s), traces, few)
	at := make([]vector, len(traces))
	for k, i := range few {
		at[i] = first.at(k)
	}
	fixed := first.layout
	fixed.fixed = first.shared
	for i := range traces {
		if !slices.Contains(few, i) {
			at[i] = fromNeighbour(fixed, traces, i, nearest(traces, few, i), at)
		}
	}
	t := newTask(first.layout, sheetsOf(traces), at)
	t.settleSigmas() // a faulty spectrum must not have its say in full even here
	t.solve(rough)
	return t.pinExtremes().seatAnew(traces)
}

func sheetsOf(traces []*trace) []*sheet {
	sheets := make([]*sheet, len(traces))
	for i, t := range traces {
		sheets[i] = t.sheet
	}
	return sheets
}

// spread picks up to k indices evenly from 0 to n−1, ends included.
func spread(n, k int) []int {
	if n <= k {
		k = n
	}
	if k == 1 {
		return []int{0}
	}
	picked := make([]int, k)
	for i := range picked {
		picked[i] = i * (n - 1) / (k - 1)
	}
	return picked
}

// bestStart fits the chosen spectra together from every guess and keeps the least cost whose arcs are in order.
func bestStart(l layout, traces []*trace, few []int) *task {
	guesses := splits
	if !l.film {
		guesses = []split{single}
	}
	var best *task
	for _, g := range guesses {
		t := guess(l, traces, few, g)
		if best == nil || better(t, best) {
			best = t
		}
		if best.allOrdered() && best.withinInstrument(traces, few) {
			break
		}
	}
	return best.pinExtremes()
}

// guess solves from one guess, first as if residuals were of the usual size, then of the size they are.
func guess(l layout, traces []*trace, few []int, g split) *task {
	at := make([]vector, len(few))
	sheets := make([]*sheet, len(few))
	for k, i := range few {
		s := *traces[i].sheet
		at[k], sheets[k] = traces[i].outline.start(g, centres()), &s
	}
	t := newTask(l, sheets, at)
	t.solve(rough)
	if !t.withinInstrument(traces, few) {
		t.settleSigmas()
		t.solve(rough)
	}
	return t
}

// enough is how many times the instrument's stated uncertainty a fit may leave when no other guess is tried: one
// sweep's residual scatters about its expectation by some percent.
const enough = 1.15

// withinInstrument reports whether the fit leaves no more than the instrument's stated uncertainty in any
// of the spectra: no other guess can then do better.
func (t *task) withinInstrument(traces []*trace, few []int) bool {
	for k, i := range few {
		if t.rms(k) > enough*traces[i].measured.RelativeNoise {
			return false
		}
	}
	return true
}

// better prefers arcs in order, then the smaller typical residual.
func better(a, b *task) bool {
	if a.allOrdered() != b.allOrdered() {
		return a.allOrdered()
	}
	return a.typicalRMS() < b.typicalRMS()
}

// typicalRMS is the median over the spectra of their residuals.
func (t *task) typicalRMS() float64 {
	rms := make([]float64, len(t.sheets))
	for i := range rms {
		rms[i] = t.rms(i)
	}
	return median(rms)
}

func (t *task) allOrdered() bool {
	for i := range t.sheets {
		if !t.ordered(i) {
			return false
		}
	}
	return true
}

// nearest is the solved spectrum to follow from: the one before, or a representative that is nearer in temperature.
func nearest(traces []*trace, few []int, i int) int {
	best, least := i-1, math.Inf(1) // the first is always a representative, so that one before exists
	for _, j := range append([]int{i - 1}, few...) {
		d := 0.1*math.Abs(float64(i-j)) + math.Abs(traces[i].measured.TemperatureC-traces[j].measured.TemperatureC)
		if d < least {
			best, least = j, d
		}
	}
	return best
}

// fromNeighbour solves one spectrum's sizes and times with the exponents known, from its neighbour's solution and, where that
// leaves it much worse off than the neighbour, also from its own outline.
func fromNeighbour(l layout, traces []*trace, i, from int, at []vector) vector {
	t, n := traces[i], traces[from]
	a := solveOne(l, t, t.outline.like(at[from], n.outline))
	if a.ordered(0) && a.rms(0) < 1.5*rmsAt(l, n, at[from]) {
		return a.at(0)
	}
	for _, g := range splits {
		b := solveOne(l, t, t.outline.start(g, centres()))
		if better(b, a) {
			a = b
		}
	}
	return a.at(0)
}

func solveOne(l layout, t *trace, start vector) *task {
	task := newTask(l, []*sheet{t.sheet}, []vector{start})
	task.solve(rough)
	return task
}

func rmsAt(l layout, t *trace, x vector) float64 {
	return newTask(l, []*sheet{t.sheet}, []vector{x}).rms(0)
}
