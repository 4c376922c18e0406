package matching

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Every way to choose groups, tried one by one: none has a worst range less than that of consecutive cells, nor a
// smaller sum with the same worst.
func TestConsecutiveGroupsAreTheBest(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 1))
	for range 60 {
		n := 5 + random.IntN(4)
		size := 2 + random.IntN(2)
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(random.IntN(20))
		}
		slices.Sort(x)
		worst, sum := 0.0, 0.0
		for _, s := range consecutive(x, size) {
			worst, sum = max(worst, x[s+size-1]-x[s]), sum+x[s+size-1]-x[s]
		}
		leastWorst, leastSum := exhausted(x, size)
		if worst != leastWorst || math.Abs(sum-leastSum) > 1e-12 {
			t.Fatalf("%v in groups of %d: worst %v, sum %v; best %v, %v", x, size, worst, sum, leastWorst, leastSum)
		}
	}
}

// exhausted tries every grouping.
func exhausted(x []float64, size int) (worst, sum float64) {
	worst, sum = math.Inf(1), math.Inf(1)
	groups := len(x) / size
	of := make([]int, len(x)) // group of a cell, groups: left over
	var place func(i int, filled []int)
	place = func(i int, filled []int) {
		if i == len(x) {
			w, s := 0.0, 0.0
			for g := range groups {
				low, high := math.Inf(1), math.Inf(-1)
				for c, v := range x {
					if of[c] == g {
						low, high = min(low, v), max(high, v)
					}
				}
				w, s = max(w, high-low), s+high-low
			}
			if w < worst || w == worst && s < sum {
				worst, sum = w, s
			}
			return
		}
		for g := range groups + 1 {
			room := size
			if g == groups {
				room = len(x) - groups*size
			}
			if filled[g] < room {
				of[i] = g
				filled[g]++
				place(i+1, filled)
				filled[g]--
			}
		}
	}
	place(0, make([]int, groups+1))
	return worst, sum
}

// correlated are cells with two quantities that hang together.
func correlated(n int, seed uint64) (points [][]float64) {
	random := rand.New(rand.NewPCG(seed, 3))
	for range n {
		age := random.NormFloat64()
		points = append(points, []float64{3*age + random.NormFloat64(), 0.5 * (age + random.NormFloat64())})
	}
	return points
}

// With one quantity the search cannot beat the exact result.
func TestExactAgainstSearch(t *testing.T) {
	for seed := range uint64(6) {
		p := pool{correlated(43, seed)}
		for i := range p.points {
			p.points[i] = p.points[i][:1]
		}
		exact := p.windows(leading, 6)
		search := p.cut(p.order(leading), 6)
		search.exchangeCells(100_000)
		if search.Worst() < exact.Worst()-1e-12 {
			t.Errorf("search %v, exact %v", search.Worst(), exact.Worst())
		}
	}
}

// Every cell is in one group or left over, no group is wider than the worst, none of all groupings beats the bound, and sorting
// never wins.
func TestMatchKeepsItsWord(t *testing.T) {
	for seed := range uint64(8) {
		m := Match(correlated(31+int(seed), seed), 4)
		if m.Worst() > m.Sorted() || m.Least() > m.Worst()+1e-12 || len(m.Groups)*4+len(m.Left) != len(m.points) {
			t.Errorf("worst %v, sorted %v, least %v: %d groups, %d left", m.Worst(), m.Sorted(), m.Least(), len(m.Groups), len(m.Left))
		}
		if draws := m.Random(); len(draws) != RandomDraws || slices.Min(draws) < m.Least() {
			t.Errorf("draws %v, least %v", draws, m.Least())
		}
	}
	if few := Match(correlated(3, 1), 4); len(few.Groups) != 0 || len(few.Left) != 3 {
		t.Errorf("%+v", few)
	}
}

// The more quantities, the wider the best groups.
func TestMatchByMoreQuantities(t *testing.T) {
	points := correlated(60, 4)
	both := Match(points, 5).Worst()
	for i := range points {
		points[i] = points[i][:1]
	}
	if one := Match(points, 5).Worst(); one > both {
		t.Errorf("one quantity %v, two %v", one, both)
	}
}
