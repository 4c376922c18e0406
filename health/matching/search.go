package matching

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// RandomDraws is how often lots are drawn for comparison; the seed is fixed, so that one job always gives one number.
const (
	RandomDraws = 20
	randomSeed  = 1
	// exchangesTried bounds the search of a large pool; it is a number of trials and not a time, so that one job always
	// gives one result.
	exchangesTried = 20_000_000
)

// Match makes as many groups of a size as there can be, and the spread of the worst as small as can be; among equals, the sum of
// all. Points are a row a cell, of one length, the most important quantity first. With one quantity the result is the best there is;
// with several it is never worse than sorting by the first. It panics where size is not positive.
func Match(points [][]float64, size int) Partition {
	p := pool{points}
	if len(points) < size {
		return Partition{pool: p, size: size, Left: p.order(leading)}
	}
	best := p.windows(leading, size)
	if len(points[0]) > 1 {
		best = p.cut(p.order(leading), size)
		budget := best.exchangeCells(exchangesTried)
		for _, start := range p.starts(size) {
			budget = start.exchangeCells(budget)
			if start.betterThan(best) {
				best = start
			}
		}
	}
	best.check()
	return best
}

func leading(point []float64) float64 { return point[0] }

// starts of the search beside sorting by the first quantity: nested strips, the most important quantity outermost, the
// best groups by the sum of all quantities and by each alone, and strips the other way round. The first are what most
// often ends best; what is left of the trials goes to the others.
func (p pool) starts(size int) []Partition {
	quantities := len(p.points[0])
	forward, backward := make([]int, quantities), make([]int, quantities)
	for q := range quantities {
		forward[q], backward[q] = q, quantities-1-q
	}
	list := []Partition{p.cut(p.strips(p.order(leading), forward, size), size), p.windows(func(point []float64) (sum float64) {
		for _, x := range point {
			sum += x
		}
		return sum
	}, size)}
	for q := range quantities {
		list = append(list, p.windows(func(point []float64) float64 { return point[q] }, size))
	}
	return append(list, p.cut(p.strips(p.order(leading), backward, size), size))
}

// strips orders cells by cutting them into strips of one quantity, each of those into strips of the next, and so on:
// neighbours in the order are near in all of them. A strip holds whole groups.
func (p *pool) strips(cells, by []int, size int) (order []int) {
	sorted := slices.Clone(cells)
	slices.SortStableFunc(sorted, func(a, b int) int { return cmp.Compare(p.points[a][by[0]], p.points[b][by[0]]) })
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

// Sorted is the worst spread of cutting the cells in the order of the first quantity.
func (p Partition) Sorted() float64 { return p.cut(p.order(leading), p.size).Worst() }

// Random is the worst spread of each of RandomDraws draws of lots.
func (p Partition) Random() (costs []float64) {
	random := rand.New(rand.NewPCG(randomSeed, randomSeed))
	order := p.order(leading)
	for range RandomDraws {
		random.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		costs = append(costs, p.cut(order, p.size).Worst())
	}
	return costs
}

// check panics where a cell is in two groups or in none: a programmer's mistake that nobody would notice in a report.
func (p Partition) check() {
	seen := make([]int, len(p.points))
	for _, g := range p.Groups {
		if len(g) != p.size {
			panic(fmt.Sprintf("matching: a group of %d cells where %d were asked for", len(g), p.size))
		}
		for _, c := range g {
			seen[c]++
		}
	}
	for _, c := range p.Left {
		seen[c]++
	}
	for c, n := range seen {
		if n != 1 {
			panic(fmt.Sprintf("matching: cell %d is in %d groups", c, n))
		}
	}
}
