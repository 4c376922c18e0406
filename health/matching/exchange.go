package matching

import (
	"cmp"
	"math"
	"slices"
)

// rim is what a group's points reach in one quantity: its two least and its two greatest, so that the reach without any
// one cell is known.
type rim struct{ low, low2, high, high2 float64 }

// without is the reach when a cell at x is gone.
func (r rim) without(x float64) (low, high float64) {
	low, high = r.low, r.high
	if x == low {
		low = r.low2
	}
	if x == high {
		high = r.high2
	}
	return low, high
}

// exchange is a search that swaps cells between groups.
type exchange struct {
	*Partition
	rims    [][]rim // of each group, by quantity
	spreads []float64
	budget  int // of trials
}

// exchangeCells swaps cells between groups, and with cells left over, as long as that makes the worse of the two groups
// better, or both together where the worse stays. Groups are taken from the worst on; of a group, the cells that make
// its spread. It returns what is left of the budget of trials.
func (p *Partition) exchangeCells(budget int) int {
	e := &exchange{Partition: p, budget: budget, rims: make([][]rim, len(p.Groups)), spreads: make([]float64, len(p.Groups))}
	for g := range p.Groups {
		e.measure(g)
	}
	for improved := true; improved && e.budget > 0; {
		improved = false
		for _, g := range e.fromWorst() {
			for e.improve(g) {
				improved = true
			}
		}
	}
	return e.budget
}

// measure takes a group's rims and spread anew.
func (e *exchange) measure(g int) {
	quantities := len(e.points[0])
	if e.rims[g] == nil {
		e.rims[g] = make([]rim, quantities)
	}
	e.spreads[g] = 0
	for q := range quantities {
		r := rim{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, c := range e.Groups[g] {
			x := e.points[c][q]
			r.low2 = min(r.low2, max(x, r.low))
			r.low = min(r.low, x)
			r.high2 = max(r.high2, min(x, r.high))
			r.high = max(r.high, x)
		}
		e.rims[g][q] = r
		e.spreads[g] = max(e.spreads[g], r.high-r.low)
	}
}

func (e *exchange) fromWorst() []int {
	order := make([]int, len(e.Groups))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(e.spreads[b], e.spreads[a]) })
	return order
}

// swap is an exchange of the cell in one place of a group for one in a place of another group, or left over where other is −1.
type swap struct {
	place, other, otherPlace int
	worst, sum               float64 // of the two groups afterwards
}

// nearby is how many groups to each side, in the order that the search began with, a group exchanges cells with:
// neighbours there are alike.
const nearby = 60

// improve makes the best exchange of a group's outermost cells, if one helps.
func (e *exchange) improve(g int) bool {
	best := swap{worst: math.Inf(1)}
	widest := e.widest(g)
	r := e.rims[g][widest]
	for place, c := range e.Groups[g] {
		x := e.points[c][widest]
		if x != r.low && x != r.high {
			continue
		}
		// Only a cell farther in can make the group narrower.
		from, to := r.low, r.high+(r.high-r.low)
		if x == r.high {
			from, to = r.low-(r.high-r.low), r.high
		}
		for other := -1; other < len(e.Groups) && e.budget > 0; other++ {
			if other == g || other >= 0 && (other < g-nearby || other > g+nearby) {
				continue
			}
			for k, c := range e.members(other) {
				if y := e.points[c][widest]; y > from && y < to {
					e.try(&best, g, swap{place: place, other: other, otherPlace: k})
				}
			}
		}
	}
	if math.IsInf(best.worst, 1) {
		return false
	}
	a, b := &e.Groups[g][best.place], &e.members(best.other)[best.otherPlace]
	*a, *b = *b, *a
	e.measure(g)
	if best.other >= 0 {
		e.measure(best.other)
	}
	return true
}

// try keeps an exchange where it helps, and more than the best so far.
func (e *exchange) try(best *swap, g int, s swap) {
	e.budget--
	gone, come := e.Groups[g][s.place], e.members(s.other)[s.otherPlace]
	before, sum := e.spreads[g], e.spreads[g]
	s.worst = e.replaced(g, gone, come)
	s.sum = s.worst
	if s.other >= 0 {
		there := e.replaced(s.other, come, gone)
		before, sum = max(before, e.spreads[s.other]), sum+e.spreads[s.other]
		s.worst, s.sum = max(s.worst, there), s.sum+there
	}
	const enough = 1e-12 // so that rounding cannot make the search go round in circles
	helps := s.worst < before-enough || s.worst <= before && s.sum < sum-enough
	if helps && (s.worst < best.worst || s.worst == best.worst && s.sum < best.sum) {
		*best = s
	}
}

// replaced is the spread of a group in which one cell takes another's place.
func (e *exchange) replaced(g, gone, come int) (spread float64) {
	for q, r := range e.rims[g] {
		low, high := r.without(e.points[gone][q])
		x := e.points[come][q]
		spread = max(spread, max(high, x)-min(low, x))
	}
	return spread
}

// members of a group, or the cells left over.
func (e *exchange) members(group int) []int {
	if group < 0 {
		return e.Left
	}
	return e.Groups[group]
}

// widest is the quantity that makes a group's spread.
func (e *exchange) widest(g int) (quantity int) {
	for q, r := range e.rims[g] {
		if r.high-r.low > e.rims[g][quantity].high-e.rims[g][quantity].low {
			quantity = q
		}
	}
	return quantity
}
