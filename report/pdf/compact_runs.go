package pdf

import (
	"cmp"
	"slices"
)

// run is a sequence of items that occurs several times.
type run struct {
	starts []int // among the items of all pages
	length int
	gain   float64 // bytes by which a file gets smaller if the run becomes a form, about
}

// What forms cost in bytes, about: their dictionary and place in the file, and drawing one in place of several things, or of one.
const (
	bytesOfForm = 300
	bytesOfCall = 5
	bytesForOne = 0.8
)

// runFinder looks for runs among the items of pages, one page after the other.
type runFinder struct {
	items   []placed
	page    []int     // of each item
	kinds   []int     // of each item's thing
	weights []float64 // bytes that each takes in its page
	used    []bool    // in a run already
	sums    []uint64  // of the steps before each item
	powers  []uint64
}

// repeatedRuns are runs that are worth a form, the longest first. It doubles no effort: a run is looked for by some of the
// lengths that it may have and then made as long as it can be.
func repeatedRuns(pages [][]placed) (list [][]placed) {
	f := newRunFinder(pages)
	for _, length := range []int{24, 6, 2, 1} {
		for _, r := range f.candidates(length) {
			if r = f.grown(f.unused(r)); r.gain > 0 {
				f.use(r)
				list = append(list, f.items[r.starts[0]:r.starts[0]+r.length])
			}
		}
	}
	return list
}

func newRunFinder(pages [][]placed) *runFinder {
	f := &runFinder{sums: []uint64{0}, powers: []uint64{1}}
	known := map[thing]int{}
	for i, items := range pages {
		onPage := map[int]bool{}
		for _, it := range items {
			kind, ok := known[it.thing]
			if !ok {
				kind = len(known)
				known[it.thing] = kind
			}
			f.items, f.page, f.kinds = append(f.items, it), append(f.page, i), append(f.kinds, kind)
			f.weights = append(f.weights, weight(it, onPage[kind]))
			onPage[kind] = true
		}
	}
	f.used = make([]bool, len(f.items))
	for i := range f.items {
		f.sums = append(f.sums, f.sums[i]*factor+f.step(i))
		f.powers = append(f.powers, f.powers[i]*factor)
	}
	return f
}

// weight is about how many bytes an item takes in its compressed page, beyond those that place it; less where it repeats
// another.
func weight(it placed, again bool) float64 {
	switch {
	case it.kind == asItIs:
		return 0
	case it.kind == ofText && again:
		return 2.5
	case it.kind == ofText:
		return 4 + 0.25*float64(len(it.body))
	case again:
		return 1.2
	}
	return 2.5 + 0.3*float64(len(it.body))
}

// factor of the sums, odd: 2⁶⁴ over the golden ratio (Knuth, The Art of Computer Programming 3, 6.4).
const factor = 0x9E3779B97F4A7C15

// step tells an item and how it stands to the one before.
func (f *runFinder) step(i int) uint64 {
	h := uint64(f.kinds[i]+1) * factor
	if i > 0 && f.page[i] == f.page[i-1] {
		d := minus(f.items[i].at, f.items[i-1].at)
		h = (h^uint64(d[0]))*factor ^ uint64(d[1])
	}
	return (h ^ h>>29) * factor
}

// sum of a run tells it from others, wherever it stands.
func (f *runFinder) sum(start, length int) uint64 {
	from, to := start+1, start+length
	return uint64(f.kinds[start]+1)*f.powers[length] + f.sums[to] - f.sums[from]*f.powers[to-from]
}

// candidates are the runs of a length, those with the largest gain first.
func (f *runFinder) candidates(length int) (list []run) {
	at := map[uint64]int{}
	for i := 0; i+length <= len(f.items); i++ {
		if f.page[i] != f.page[i+length-1] || f.used[i] || f.used[i+length-1] {
			continue
		}
		sum := f.sum(i, length)
		k, known := at[sum]
		if !known {
			k = len(list)
			at[sum] = k
			list = append(list, run{length: length})
		}
		list[k].starts = append(list[k].starts, i)
	}
	list = slices.DeleteFunc(list, func(r run) bool { return len(r.starts) < 2 })
	for i := range list {
		list[i] = f.unused(list[i])
	}
	list = slices.DeleteFunc(list, func(r run) bool { return r.gain <= 0 })
	slices.SortStableFunc(list, func(a, b run) int { return cmp.Compare(b.gain, a.gain) })
	return list
}

// unused is a run at the places where it lies beside all that are used and beside itself.
func (f *runFinder) unused(r run) run {
	var starts []int
	free := 0
	for _, s := range r.starts {
		if s >= free && !slices.Contains(f.used[s:s+r.length], true) && f.same(r.starts[0], s, r.length) {
			starts, free = append(starts, s), s+r.length
		}
	}
	r.starts = starts
	r.gain = f.gain(r)
	return r
}

// same compares what the sums of two runs promise to be equal.
func (f *runFinder) same(a, b, length int) bool {
	for i := range length {
		if f.kinds[a+i] != f.kinds[b+i] || minus(f.items[a+i].at, f.items[a].at) != minus(f.items[b+i].at, f.items[b].at) {
			return false
		}
	}
	return true
}

func (f *runFinder) gain(r run) float64 {
	if len(r.starts) < 2 {
		return 0
	}
	call := float64(bytesOfCall)
	if r.length == 1 {
		call = bytesForOne
	}
	whole, most := 0., 0.
	for _, s := range r.starts {
		one := -call
		for _, w := range f.weights[s : s+r.length] {
			one += w
		}
		whole, most = whole+one, max(most, one)
	}
	return whole - most - bytesOfForm
}

// grown is a run with all that follows it, and goes before it, in every place.
func (f *runFinder) grown(r run) run {
	if len(r.starts) < 2 {
		return r
	}
	for f.allow(r, r.length) {
		r.length++
	}
	for f.allow(r, -1) {
		for i := range r.starts {
			r.starts[i]--
		}
		r.length++
	}
	r.gain = f.gain(r)
	return r
}

// allow reports whether the items so far from the starts are equal, on their pages and free in all places.
func (f *runFinder) allow(r run, off int) bool {
	first := r.starts[0]
	for i, s := range r.starts {
		k := s + off
		if k < 0 || k >= len(f.items) || f.page[k] != f.page[s] || f.used[k] || f.kinds[k] != f.kinds[first+off] ||
			minus(f.items[k].at, f.items[s].at) != minus(f.items[first+off].at, f.items[first].at) {
			return false
		}
		if off > 0 && i+1 < len(r.starts) && k >= r.starts[i+1] || off < 0 && i > 0 && k < r.starts[i-1]+r.length {
			return false
		}
	}
	return true
}

func (f *runFinder) use(r run) {
	for _, s := range r.starts {
		for i := range r.length {
			f.used[s+i] = true
		}
	}
}
