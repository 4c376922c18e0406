package matching

import (
	"math"
	"slices"
)

// mostNeighbours bounds the pools whose distances are all looked at; beyond, the bound comes from single quantities alone.
const mostNeighbours = 4000

// Least is a spread that no grouping of the pool can have less than: in each quantity alone the best groups have one,
// and a cell's group reaches at least to the farthest of its size − 1 nearest others. As many cells as are left over may
// be spared the latter.
func (p Partition) Least() (least float64) {
	size := p.size
	if len(p.points) < size {
		return 0
	}
	for q := range p.points[0] {
		single := p.windows(func(point []float64) float64 { return point[q] }, size)
		worst := 0.0
		for _, g := range single.Groups {
			worst = max(worst, p.reach(g, q))
		}
		least = max(least, worst)
	}
	if len(p.points) > mostNeighbours {
		return least
	}
	reach := make([]float64, len(p.points))
	apart := make([]float64, len(p.points))
	for i := range p.points {
		for k := range p.points {
			apart[k] = p.distance(i, k)
		}
		slices.Sort(apart)
		reach[i] = apart[size-1] // its own distance, 0, is the first
	}
	slices.Sort(reach)
	return max(least, reach[len(reach)-1-len(p.points)%size])
}

// distance is what two cells alone would spread.
func (p *pool) distance(i, k int) (apart float64) {
	for q, x := range p.points[i] {
		apart = max(apart, math.Abs(x-p.points[k][q]))
	}
	return apart
}

// reach of a group in one quantity.
func (p *pool) reach(group []int, q int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range group {
		x := p.points[c][q]
		low, high = min(low, x), max(high, x)
	}
	return high - low
}
