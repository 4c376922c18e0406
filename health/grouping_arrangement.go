package health

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/job"
)

// Cells in series carry one current: the one with the least capacity is full and empty first and the rest of the others'
// capacity is not used, and it is the one that is driven beyond its voltage limits if nothing watches it. Cells in
// parallel share one voltage: the current divides as the inverse of their resistances, so that the one with the least
// resistance carries and ages most (common practice).

// matters are the quantities that an arrangement asks to be matched.
var matters = map[string]struct {
	quantities []job.Quantity
	code       string // what is said where none of them is asked for
}{
	"series":   {[]job.Quantity{job.CapacityAh, job.CapacityRetention}, "series-without-capacity"},
	"parallel": {[]job.Quantity{job.OhmicOhm, job.ChargeTransferOhm, job.ACResistance1kHzOhm}, "parallel-without-resistance"},
}

// arrangementNotes say what the arrangement asks for, and whether the job asks for it.
func arrangementNotes(asked *job.Grouping) (notes []Statement) {
	notes = []Statement{because("arrangement-" + asked.Arrangement)}
	m := matters[asked.Arrangement]
	if !slices.ContainsFunc(m.quantities, func(q job.Quantity) bool { return slices.Contains(asked.By, q) }) {
		notes = append(notes, because(m.code))
	}
	return notes
}

// group states a group's cells, ranges and means, and the cell that the others wait for.
func (g *Grouping) group(p matched, members []int) MatchedGroup {
	m := MatchedGroup{Grade: p.grade, Spread: p.Partition.Spread(members)}
	for _, c := range members {
		m.Cells = append(m.Cells, p.cells[c].name)
	}
	for q := range g.By {
		low, high, sum := math.Inf(1), math.Inf(-1), 0.0
		for _, c := range members {
			v := p.cells[c].values[q]
			low, high, sum = min(low, v), max(high, v), sum+v
		}
		m.Ranges, m.Means = append(m.Ranges, high-low), append(m.Means, sum/float64(len(members)))
	}
	if g.Arrangement == "series" {
		m.Limiting, m.Ratio = g.weakest(p, members)
	} else {
		m.Limiting, m.Ratio = g.busiest(p, members)
	}
	return m
}

// weakest is the cell with the least capacity, over the mean.
func (g *Grouping) weakest(p matched, members []int) (cell string, ratio float64) {
	for _, q := range matters["series"].quantities {
		k := slices.IndexFunc(g.By, func(b GroupedQuantity) bool { return b.Quantity == q })
		if k < 0 {
			continue
		}
		least, sum := members[0], 0.0
		for _, c := range members {
			sum += p.cells[c].values[k]
			if p.cells[c].values[k] < p.cells[least].values[k] {
				least = c
			}
		}
		return p.cells[least].name, p.cells[least].values[k] * float64(len(members)) / sum
	}
	return "", math.NaN()
}

// busiest is the cell with the least resistance, its share of the current over an even one. Ohmic and charge-transfer resistance
// count together where both are given, otherwise the one that is.
func (g *Grouping) busiest(p matched, members []int) (cell string, ratio float64) {
	var parts []int
	for k, b := range g.By {
		if b.Quantity == job.OhmicOhm || b.Quantity == job.ChargeTransferOhm {
			parts = append(parts, k)
		}
	}
	if k := slices.IndexFunc(g.By, func(b GroupedQuantity) bool { return b.Quantity == job.ACResistance1kHzOhm }); len(parts) == 0 && k >= 0 {
		parts = []int{k}
	}
	if len(parts) == 0 {
		return "", math.NaN()
	}
	most, busy, sum := 0.0, members[0], 0.0
	for _, c := range members {
		ohm := 0.0
		for _, k := range parts {
			ohm += p.cells[c].values[k]
		}
		sum += 1 / ohm
		if 1/ohm > most {
			most, busy = 1/ohm, c
		}
	}
	return p.cells[busy].name, most * float64(len(members)) / sum
}

// inOrder are the groups by the mean of the first quantity, the cells of each by name.
func (p matched) inOrder() [][]int {
	groups := slices.Clone(p.Groups)
	middle := func(g []int) (sum float64) {
		for _, c := range g {
			sum += p.cells[c].point[0]
		}
		return sum
	}
	slices.SortFunc(groups, func(a, b []int) int { return cmp.Compare(middle(a), middle(b)) })
	for _, g := range groups {
		slices.SortFunc(g, func(a, b int) int { return naturally(p.cells[a].name, p.cells[b].name) })
	}
	return groups
}

// expectedRange is the mean range of so many standard normal values, ∫ 1 − Φⁿ − (1 − Φ)ⁿ: the factor d₂ of control charts
// (NIST/SEMATECH e-Handbook 6.3.2.1).
func expectedRange(n int) float64 {
	m := float64(n)
	return quad.Fixed(func(x float64) float64 {
		p := distuv.UnitNormal.CDF(x)
		return 1 - math.Pow(p, m) - math.Pow(1-p, m)
	}, -9, 9, 200, nil, 0)
}
