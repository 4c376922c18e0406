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
	// exchangesTried bounds the search of a large pool; it is a number of trials and not a time, so that one job always
	// gives one result.
	exchangesTried = 20_000_000
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
		budget := best.exchangeCells(exchangesTried)
		for _, start := range g.starts(p) {
			budget = start.exchangeCells(budget)
			if start.betterThan(best) {
				best = start
			}
		}
	}
	best.check(g.Size)
	return best
}

func leading(c *candidate) float64 { return c.point[0] }

// starts of the search beside sorting by the first quantity: nested strips, the most important quantity outermost, the
// best groups by the sum of all quantities and by each alone, and strips the other way round. The first are what most
// often ends best; what is left of the trials goes to the others.
func (g *Grouping) starts(p pool) []partition {
	quantities := len(g.By)
	forward, backward := make([]int, quantities), make([]int, quantities)
	for q := range quantities {
		forward[q], backward[q] = q, quantities-1-q
	}
	list := []partition{p.cut(p.strips(p.order(leading), forward, g.Size), g.Size), p.windows(func(c *candidate) (sum float64) {
		for _, x := range c.point {
			sum += x
		}
		return sum
	}, g.Size)}
	for q := range quantities {
		list = append(list, p.windows(func(c *candidate) float64 { return c.point[q] }, g.Size))
	}
	return append(list, p.cut(p.strips(p.order(leading), backward, g.Size), g.Size))
}

// strips orders cells by cutting them into strips of one quantity, each of those into strips of the next, and so on:
// neighbours in the order are near in all of them. A strip holds whole groups.
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
