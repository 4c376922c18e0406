package health

import (
	"math"
	"slices"
)

// mostNeighbours bounds the pools whose distances are all looked at; beyond, the bound comes from single quantities alone.
const mostNeighbours = 4000

// bound is a spread that no grouping of the pool can have less than: in each quantity alone the best groups have one,
// and a cell's group reaches at least to the farthest of its size − 1 nearest others. As many cells as are left over may
// be spared the latter.
func (p pool) bound(size int) (least float64) {
	if len(p.cells) < size {
		return 0
	}
	for q := range p.cells[0].point {
		single := p.windows(func(c *candidate) float64 { return c.point[q] }, size)
		worst := 0.0
		for _, g := range single.groups {
			worst = max(worst, p.reach(g, q))
		}
		least = max(least, worst)
	}
	if len(p.cells) > mostNeighbours {
		return least
	}
	reach := make([]float64, len(p.cells))
	apart := make([]float64, len(p.cells))
	for i := range p.cells {
		for k := range p.cells {
			apart[k] = p.distance(i, k)
		}
		slices.Sort(apart)
		reach[i] = apart[size-1] // its own distance, 0, is the first
	}
	slices.Sort(reach)
	return max(least, reach[len(reach)-1-len(p.cells)%size])
}

// distance is what two cells alone would spread.
func (p *pool) distance(i, k int) (apart float64) {
	for q, x := range p.cells[i].point {
		apart = max(apart, math.Abs(x-p.cells[k].point[q]))
	}
	return apart
}

// reach of a group in one quantity.
func (p *pool) reach(group []int, q int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range group {
		x := p.cells[c].point[q]
		low, high = min(low, x), max(high, x)
	}
	return high - low
}
