package health

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// The mean worst spread of drawing lots is taken over so many draws; the seed is fixed, so that one job always gives one number.
const (
	randomDraws = 20
	randomSeed  = 1
	// exchangesTried bounds the search of a large pool; it is a number of trials and not a time, so that one job always gives one result.
	exchangesTried = 4_000_000
)

// match makes the groups of a pool.
func (g *Grouping) match(p pool) partition {
	slices.SortFunc(p.cells, func(a, b candidate) int { return cmp.Compare(a.name, b.name) })
	if len(p.cells) < g.Size {
		return partition{pool: p, left: p.order(leading)}
	}
	best := p.windows(leading, g.Size)
	if len(g.By) > 1 {
		best = p.cut(p.order(leading), g.Size)
		starts := g.starts(p)
		budget := exchangesTried / (1 + len(starts))
		best.exchange(budget)
		for _, start := range starts {
			start.exchange(budget)
			if start.betterThan(best) {
				best = start
			}
		}
	}
	best.check(g.Size)
	return best
}

func leading(c *candidate) float64 { return c.point[0] }

// starts of the search: the best groups by each quantity alone and by the sum of all, and nested strips, the most
// important quantity outermost and innermost.
func (g *Grouping) starts(p pool) (list []partition) {
	quantities := len(g.By)
	for q := range quantities {
		list = append(list, p.windows(func(c *candidate) float64 { return c.point[q] }, g.Size))
	}
	list = append(list, p.windows(func(c *candidate) float64 {
		sum := 0.0
		for _, x := range c.point {
			sum += x
		}
		return sum
	}, g.Size))
	forward, backward := make([]int, quantities), make([]int, quantities)
	for q := range quantities {
		forward[q], backward[q] = q, quantities-1-q
	}
	list = append(list, p.cut(p.strips(p.order(leading), forward, g.Size), g.Size))
	return append(list, p.cut(p.strips(p.order(leading), backward, g.Size), g.Size))
}

// strips orders cells by cutting them into strips of one quantity, each of those into strips of the next, and so on: neighbours in the
// order are near in all of them. A strip holds whole groups.
func (p *pool) strips(cells, by []int, size int) (order []int) {
	sorted := slices.Clone(cells)
	slices.SortStableFunc(sorted, func(a, b int) int { return cmp.Compare(p.cells[a].point[by[0]], p.cells[b].point[by[0]]) })
	if len(by) == 1 {
		return sorted
	}
	groups := max(1, len(cells)/size)
	strips := max(1, int(math.Round(math.Pow(float64(groups), 1/float64(len(by))))))
	each := (groups + strips - 1) / strips * size
	for len(sorted) > each+size {
		order = append(order, p.strips(sorted[:each], by[1:], size)...)
		sorted = sorted[each:]
	}
	return append(order, p.strips(sorted, by[1:], size)...)
}

// exchange swaps cells between groups, and with cells left over, as long as that makes the worse of the two groups better, or both
// together where the worse stays. Groups are taken from the worst on; of a group, the cells that make its spread.
func (p *partition) exchange(budget int) {
	for improved := true; improved && budget > 0; {
		improved = false
		for _, g := range p.fromWorst() {
			for p.improve(g, &budget) {
				improved = true
			}
		}
	}
}

func (p *partition) fromWorst() []int {
	spreads, order := make([]float64, len(p.groups)), make([]int, len(p.groups))
	for i, g := range p.groups {
		spreads[i], order[i] = p.spreadOf(g), i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(spreads[b], spreads[a]) })
	return order
}

// swap is an exchange of the cell in one place of a group for one in a place of another group, or left over where other is −1.
type swap struct {
	place, other, otherPlace int
	worst, sum               float64 // of the two groups afterwards
}

// improve makes the best exchange of a group's outermost cells, if one helps.
func (p *partition) improve(g int, budget *int) bool {
	var best *swap
	widest, low, high := p.widest(p.groups[g])
	for place, c := range p.groups[g] {
		x := p.cells[c].point[widest]
		if x != low && x != high {
			continue
		}
		// Only a cell farther in can make the group narrower.
		from, to := low, high+(high-low)
		if x == high {
			from, to = low-(high-low), high
		}
		for other := -1; other < len(p.groups) && *budget > 0; other++ {
			if other != g {
				best = p.bestSwap(best, swap{place: place, other: other}, g, func(c int) bool {
					y := p.cells[c].point[widest]
					return y > from && y < to
				}, budget)
			}
		}
	}
	if best == nil {
		return false
	}
	a, b := &p.groups[g][best.place], p.at(best.other, best.otherPlace)
	*a, *b = *b, *a
	return true
}

// bestSwap tries a cell of one group against those of another that may help.
func (p *partition) bestSwap(best *swap, s swap, g int, may func(c int) bool, budget *int) *swap {
	members := p.left
	before := p.spreadOf(p.groups[g])
	sum := before
	if s.other >= 0 {
		members = p.groups[s.other]
		there := p.spreadOf(members)
		before, sum = max(before, there), sum+there
	}
	for k, c := range members {
		if !may(c) {
			continue
		}
		*budget--
		s.otherPlace = k
		p.try(&s, g, members)
		const enough = 1e-12 // so that rounding cannot make the search go round in circles
		helps := s.worst < before-enough || s.worst <= before && s.sum < sum-enough
		if helps && (best == nil || s.worst < best.worst || s.worst == best.worst && s.sum < best.sum) {
			found := s
			best = &found
		}
	}
	return best
}

// try finds what an exchange would come to.
func (p *partition) try(s *swap, g int, members []int) {
	a, b := &p.groups[g][s.place], p.at(s.other, s.otherPlace)
	*a, *b = *b, *a
	s.worst = p.spreadOf(p.groups[g])
	s.sum = s.worst
	if s.other >= 0 {
		there := p.spreadOf(members)
		s.worst, s.sum = max(s.worst, there), s.sum+there
	}
	*a, *b = *b, *a
}

func (p *partition) at(group, place int) *int {
	if group < 0 {
		return &p.left[place]
	}
	return &p.groups[group][place]
}

// widest is the quantity that makes a group's spread, with its ends.
func (p *partition) widest(group []int) (quantity int, low, high float64) {
	spread := -1.0
	for q := range p.cells[group[0]].point {
		if from, to := p.ends(group, q); to-from > spread {
			quantity, low, high, spread = q, from, to, to-from
		}
	}
	return quantity, low, high
}

func (p *partition) ends(group []int, q int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range group {
		x := p.cells[c].point[q]
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

// sortedly is the pool cut in the order of the first quantity.
func (p partition) sortedly() partition { return p.cut(p.order(leading), len(p.groups[0])) }

// randomly is the worst spread of each draw of lots.
func (p partition) randomly() (costs []float64) {
	random := rand.New(rand.NewPCG(randomSeed, randomSeed))
	order := p.order(leading)
	for range randomDraws {
		random.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		costs = append(costs, p.cut(order, len(p.groups[0])).cost())
	}
	return costs
}
