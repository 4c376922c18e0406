package health

import (
	"cmp"
	"math"
	"slices"

	"ohmledger/health/job"
	"ohmledger/health/matching"
	"ohmledger/health/statistics"
)

// Grouping sorts the cells of a lot into groups of equal size whose cells are alike, such as modules. Every cell is in
// one group or left over. The spread of a group is the largest, over the quantities, of weight·(largest −
// smallest)/scale: 1 where the cells of a group are as far apart in the most important quantity as one robust standard
// deviation of all of them. The spread that is made as small as can be is that of the worst group; among equals, the sum
// of all.
//
// With one quantity the result is the best there is (see consecutive). With several it comes of a heuristic: starts by sorting, each
// improved by exchanging cells until no exchange helps, the best of them kept. Sorting by the first quantity is one of the
// starts, so it is never better. Where the worst spread reaches what none can be below, it is the best there is, too.
type Grouping struct {
	Size        int
	Arrangement string // "series" or "parallel"
	WithinGrade bool
	Exact       bool              // no grouping has a smaller worst spread: proven, by one quantity or by LeastSpread
	By          []GroupedQuantity // the most important first
	Groups      []MatchedGroup    // by grade, then by the mean of the first quantity
	Leftover    []LeftoverCell    // by reason, then by name
	// WorstSpread is that of the worst group. SortedSpread is what cutting the cells into groups in the order of the
	// first quantity would give, RandomSpread what drawing lots would, the mean of RandomDraws draws with a fixed seed.
	// NaN where there is no group.
	WorstSpread, SortedSpread, RandomSpread float64
	RandomDraws                             int
	// LeastSpread is what no grouping of these cells can be better than; the best there is may lie above it. Where Exact
	// it is WorstSpread.
	LeastSpread float64
	Notes       []Statement // what the arrangement asks for, and what the job left out of it
	Reasons     []string    // what Notes say, in words
}

// GroupedQuantity is one that the cells of a group are alike in.
type GroupedQuantity struct {
	Quantity job.Quantity
	Weight   float64 // 1 for the first, ½ for the second, ⅓ for the third …
	Scale    float64 // robust standard deviation of the cells to be grouped, in the unit of the quantity
	// MeasurementRange is how far apart cells of a group that are all the same would be measured, on average, in the
	// unit of the quantity: matching cannot be told to be closer than that. 0 where no uncertainty is stated.
	MeasurementRange float64
}

// MatchedGroup is a group of cells that are alike.
type MatchedGroup struct {
	Number int    // from 1, over all grades
	Grade  string // empty where the cells were not grouped by grade
	Cells  []string
	Spread float64
	Ranges []float64 // largest less smallest, in the unit of each quantity of Grouping.By
	Means  []float64
	// Limiting is the cell that the others wait for, as far as the quantities tell: in series the one with the least
	// capacity, Ratio being its capacity over the mean; in parallel the one with the least resistance, Ratio being its
	// share of the current over an even one. Empty where neither is among the quantities.
	Limiting string
	Ratio    float64
}

// LeftoverCell is a cell that is in no group, and why.
type LeftoverCell struct {
	Cell, Grade string
	Because     Statement
	Reason      string // what Because says, in words
}

// candidate is a cell to be grouped: its values, and as points on the common scale.
type candidate struct {
	name, grade string
	values, own []float64
	point       []float64
}

// matched are all candidates, or those of one grade, divided into groups.
type matched struct {
	matching.Partition
	grade string
	cells []candidate // by name, so that nothing hangs on how they were given
}

// match divides candidates.
func match(grade string, cells []candidate, size int) matched {
	slices.SortFunc(cells, func(a, b candidate) int { return cmp.Compare(a.name, b.name) })
	points := make([][]float64, len(cells))
	for i := range cells {
		points[i] = cells[i].point
	}
	return matched{matching.Match(points, size), grade, cells}
}

// grouping makes the groups of a job.
func grouping(j *job.Job, cells []LotCell, say Phrase) *Grouping {
	asked := j.Grouping
	g := &Grouping{Size: asked.Size, Arrangement: asked.Arrangement, WithinGrade: asked.WithinGrade && len(j.Grades) > 0, Exact: len(asked.By) == 1}
	candidates := g.choose(j, cells)
	g.scale(asked.By, candidates)
	g.state(g.divide(j, candidates))
	g.Exact = g.Exact || g.proven()
	g.Notes = arrangementNotes(asked)
	for _, n := range g.Notes {
		g.Reasons = append(g.Reasons, say.reason(n))
	}
	for i := range g.Leftover {
		g.Leftover[i].Reason = say.reason(g.Leftover[i].Because)
	}
	return g
}

// choose takes the cells that may be grouped and leaves the others over. A cell that failed, or that could not be judged
// although the job sets limits, is in no group.
func (g *Grouping) choose(j *job.Job, cells []LotCell) (chosen []candidate) {
	quantities := LotQuantities(j)
	for _, c := range cells {
		out := func(code string, facts ...Fact) {
			g.Leftover = append(g.Leftover, LeftoverCell{Cell: c.Name, Grade: c.Grade, Because: because(code, facts...)})
		}
		conforms := c.Verdict == Pass || c.Verdict == ConditionalPass || len(j.Limits) == 0
		if !conforms {
			out("leftover-verdict", word("verdict", c.Verdict.String()))
			continue
		}
		if g.WithinGrade && c.Grade == "" {
			out("leftover-without-grade")
			continue
		}
		k := candidate{name: c.Name, grade: c.Grade}
		missing := job.Quantity("")
		for _, q := range j.Grouping.By {
			v := c.Values[slices.Index(quantities, q)]
			if !v.Value.Known() {
				missing = q
			}
			k.values, k.own = append(k.values, v.Value.Estimate()), append(k.own, v.Own)
		}
		if missing != "" {
			out("leftover-without-value", word("quantity", string(missing)))
			continue
		}
		chosen = append(chosen, k)
	}
	return chosen
}

// scale sets the candidates' points.
func (g *Grouping) scale(by []job.Quantity, cells []candidate) {
	for q, quantity := range by {
		var values, own []float64
		for _, c := range cells {
			values, own = append(values, c.values[q]), append(own, c.own[q])
		}
		slices.Sort(values)
		slices.Sort(own)
		d := GroupedQuantity{Quantity: quantity, Weight: 1 / float64(q+1), Scale: mad2sd * statistics.MedianDeviation(values)}
		if len(cells) == 0 || !(d.Scale > 0) {
			d.Scale = 1
		}
		if len(cells) > 0 {
			d.MeasurementRange = expectedRange(g.Size) * statistics.Median(own)
		}
		g.By = append(g.By, d)
		for i := range cells {
			cells[i].point = append(cells[i].point, d.Weight*cells[i].values[q]/d.Scale)
		}
	}
}

// divide makes the groups of all candidates, or of each grade, best first, where that is asked for.
func (g *Grouping) divide(j *job.Job, cells []candidate) (made []matched) {
	if !g.WithinGrade {
		return []matched{match("", cells, g.Size)}
	}
	for _, grade := range j.Grades {
		var graded []candidate
		for _, c := range cells {
			if c.grade == grade.Name {
				graded = append(graded, c)
			}
		}
		made = append(made, match(grade.Name, graded, g.Size))
	}
	return made
}

// state puts the groups of all grades together.
func (g *Grouping) state(made []matched) {
	g.WorstSpread, g.SortedSpread, g.RandomSpread, g.LeastSpread = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	random := make([]float64, matching.RandomDraws)
	for _, m := range made {
		for _, c := range m.Left {
			g.Leftover = append(g.Leftover, LeftoverCell{Cell: m.cells[c].name, Grade: m.grade, Because: because("leftover-incomplete-group", count("size", g.Size))})
		}
		if len(m.Groups) == 0 {
			continue
		}
		g.WorstSpread = worse(g.WorstSpread, m.Worst())
		g.SortedSpread = worse(g.SortedSpread, m.Sorted())
		g.LeastSpread = worse(g.LeastSpread, m.Least())
		for i, cost := range m.Random() {
			random[i] = max(random[i], cost)
		}
		for _, members := range m.inOrder() {
			group := g.group(m, members)
			group.Number = len(g.Groups) + 1
			g.Groups = append(g.Groups, group)
		}
	}
	if len(g.Groups) > 0 {
		g.RandomDraws, g.RandomSpread = matching.RandomDraws, mean(random)
	}
	slices.SortFunc(g.Leftover, func(a, b LeftoverCell) int {
		return cmp.Or(cmp.Compare(a.Because.Code, b.Because.Code), naturally(a.Cell, b.Cell))
	})
}

// proven reports groups whose worst spread is what none can be below, but for rounding.
func (g *Grouping) proven() bool {
	const rounding = 1e-12
	return g.WorstSpread <= g.LeastSpread*(1+rounding)
}

// worse of two spreads, the first of which may not be had yet.
func worse(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return max(a, b)
}

func mean(values []float64) (m float64) {
	for _, v := range values {
		m += v / float64(len(values))
	}
	return m
}
