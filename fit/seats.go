package fit

import (
	"cmp"
	"math"
	"slices"
)

// warmth is by how many °C spectra may differ whose arcs have their tops near one another: by less than half a decade.
const warmth = 5

// alikeSize is the ratio of two sweeps' real parts at their ends within which one may lend the other its outline.
const alikeSize = 1.5

// expectSizes says where sizes and times are expected: where the outline of a spectrum has them, or, where noise hides its
// valley, that of the nearest spectrum like it that shows one.
func expectSizes(traces []*trace, film bool) {
	for i, t := range traces {
		o := t.outline
		for step := 1; !o.closed && step < len(traces); step++ {
			for _, j := range []int{i - step, i + step} {
				if j >= 0 && j < len(traces) && !o.closed && traces[j].outline.closed && t.resembles(traces[j]) {
					o = traces[j].outline
				}
			}
		}
		t.sheet.expected = o.expectedSizes(film)
	}
}

// resembles reports whether two sweeps of one history are of one temperature, end alike and are of one size.
func (t *trace) resembles(o *trace) bool {
	a, b := t.sheet.points[len(t.sheet.points)-1], o.sheet.points[len(o.sheet.points)-1]
	return t.sheet.history == o.sheet.history && distance(t, o) <= warmth && math.Abs(a.lnOmega-b.lnOmega) < 0.5*math.Ln10 &&
		math.Abs(math.Log(real(a.z)/real(b.z))) <= math.Log(alikeSize)
}

// outOfSeat is by how much longer a slow arc's time constant may be than those of most spectra of the same temperature before
// it is suspected of standing for something else: ten times.
const outOfSeat = math.Ln10

// seatAnew sets aside the spectra whose slow arc has left its place, fits the exponents without them, and seats them again next
// to their neighbours. It keeps that where it describes all spectra better.
func (t *task) seatAnew(traces []*trace) *task {
	off := t.outOfPlace(traces)
	if len(off) == 0 || 2*len(off) > len(traces) {
		return t
	}
	var keep []int
	var sheets []*sheet
	var at []vector
	for i := range traces {
		if !slices.Contains(off, i) {
			keep, sheets, at = append(keep, i), append(sheets, t.sheets[i]), append(at, t.at(i))
		}
	}
	part := newTask(t.layout, sheets, at)
	part.solve(rough)
	all := make([]vector, len(traces))
	for k, i := range keep {
		all[i] = part.at(k)
	}
	held := part.layout
	held.fixed = part.shared
	for _, i := range off {
		from := slices.MinFunc(keep, func(a, b int) int {
			return cmp.Compare(math.Abs(float64(a-i))+distance(traces[a], traces[i]), math.Abs(float64(b-i))+distance(traces[b], traces[i]))
		})
		all[i] = solveOne(held, traces[i], traces[i].outline.like(all[from], traces[from].outline)).at(0)
	}
	whole := newTask(t.layout, t.sheets, all)
	whole.solve(rough)
	if whole.cost < t.cost && (whole.allOrdered() || !t.allOrdered()) {
		return whole
	}
	return t
}

// outOfPlace lists the spectra whose slow arc is far slower than in most of the same temperature.
func (t *task) outOfPlace(traces []*trace) (off []int) {
	if t.noArc {
		return nil
	}
	for i := range traces {
		var times []float64
		for j := range traces {
			if distance(traces[i], traces[j]) <= warmth {
				times = append(times, t.at(j)[slotTransferTime])
			}
		}
		if t.at(i)[slotTransferTime] > quantile(times, 0.25)+outOfSeat {
			off = append(off, i)
		}
	}
	return off
}
