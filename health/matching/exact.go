package matching

import (
	"cmp"
	"math"
	"slices"
)

// pool is what groups are made from: the cells' points, on a scale that makes quantities comparable.
type pool struct{ points [][]float64 }

// Partition is a pool cut into groups; cells are indices into its points.
type Partition struct {
	pool
	size   int
	Groups [][]int
	Left   []int // in no group
}

// Spread is the spread of a group: the largest range of its points over the quantities.
func (p *pool) Spread(group []int) (spread float64) {
	for q := range p.points[group[0]] {
		spread = max(spread, p.reach(group, q))
	}
	return spread
}

// Worst is the spread of the worst group.
func (p Partition) Worst() (worst float64) {
	for _, g := range p.Groups {
		worst = max(worst, p.Spread(g))
	}
	return worst
}

// total is the sum of all groups' spreads.
func (p Partition) total() (sum float64) {
	for _, g := range p.Groups {
		sum += p.Spread(g)
	}
	return sum
}

// betterThan compares partitions: the worst group first, then all of them.
func (p Partition) betterThan(o Partition) bool {
	a, b := p.Worst(), o.Worst()
	return a < b || a == b && p.total() < o.total()
}

// order is the pool's cells by a value; among equals as they were given.
func (p *pool) order(value func(point []float64) float64) []int {
	indices := make([]int, len(p.points))
	for i := range indices {
		indices[i] = i
	}
	slices.SortStableFunc(indices, func(a, b int) int { return cmp.Compare(value(p.points[a]), value(p.points[b])) })
	return indices
}

// cut takes groups of a size in order; what is left at the end is left over.
func (p pool) cut(order []int, size int) Partition {
	made := Partition{pool: p, size: size}
	for ; len(order) >= size; order = order[size:] {
		made.Groups = append(made.Groups, slices.Clone(order[:size]))
	}
	made.Left = slices.Clone(order)
	return made
}

// consecutive cuts cells that stand in the order of their value x into as many groups as there can be, so that the worst
// range is as small as can be, and among those the sum of ranges.
//
// Groups of consecutive cells are enough. Let two groups overlap, a the least value of both in the first, d its
// greatest, c the least and b the greatest of the second. If b is in the first, its range holds both. Otherwise part
// their cells anew into the lower and the upper half: the lower half ends at or below d, because the first group is a
// half of cells up to d, and the upper half begins at or above c. So neither range grows, and the ends move apart; after
// finitely many steps no two groups overlap. A cell that is left over between the ends of a group may take the place of
// the group's last one, which makes the range no larger.
//
// The smallest possible worst range is a difference x[i+size−1] − x[i]; whether a bound can be held is told by taking
// groups from the left as soon as one fits, which leaves most cells for the rest. The sum is then made smallest by
// dynamic programming over the place in the order and how many cells were passed over, fewer than a group has.
func consecutive(x []float64, size int) (starts []int) {
	groups := len(x) / size
	if groups == 0 {
		return nil
	}
	ranges := make([]float64, len(x)-size+1)
	for i := range ranges {
		ranges[i] = x[i+size-1] - x[i]
	}
	bounds := slices.Clone(ranges)
	slices.Sort(bounds)
	least, _ := slices.BinarySearchFunc(bounds, true, func(bound float64, _ bool) int {
		if fitting(ranges, bound, size) < groups {
			return -1
		}
		return 1
	})
	return leastSum(ranges, bounds[min(least, len(bounds)-1)], size, groups)
}

// fitting is how many disjoint groups have ranges within a bound.
func fitting(ranges []float64, bound float64, size int) (n int) {
	for i := 0; i < len(ranges); {
		if ranges[i] <= bound {
			n++
			i += size
		} else {
			i++
		}
	}
	return n
}

// leastSum are the starts of so many disjoint groups within a bound with the least sum of ranges. sums[s] is the least
// sum of the first g groups when s cells were passed over before or between them.
func leastSum(ranges []float64, bound float64, size, groups int) []int {
	spare := len(ranges) + size - 1 - groups*size
	sums := make([]float64, spare+1)
	passed := make([][]int, groups) // cells passed over before each group, by those passed over up to its end
	for g := range groups {
		next := make([]float64, spare+1)
		passed[g] = make([]int, spare+1)
		best, from := math.Inf(1), 0
		for s := range spare + 1 {
			if sums[s] < best {
				best, from = sums[s], s
			}
			next[s], passed[g][s] = math.Inf(1), from
			if r := ranges[g*size+s]; r <= bound {
				next[s] = best + r
			}
		}
		sums = next
	}
	s := 0
	for i, sum := range sums {
		if sum < sums[s] {
			s = i
		}
	}
	starts := make([]int, groups)
	for g := groups - 1; g >= 0; g-- {
		starts[g] = g*size + s
		s = passed[g][s]
	}
	return starts
}

// windows cuts the cells in the order of a value into consecutive groups, the best there are for that value.
func (p pool) windows(value func(point []float64) float64, size int) Partition {
	order := p.order(value)
	x := make([]float64, len(order))
	for i, c := range order {
		x[i] = value(p.points[c])
	}
	made, next := Partition{pool: p, size: size}, 0
	for _, start := range consecutive(x, size) {
		made.Left = append(made.Left, order[next:start]...)
		next = start + size
		made.Groups = append(made.Groups, slices.Clone(order[start:next]))
	}
	made.Left = append(made.Left, order[next:]...)
	return made
}
