package health

import (
	"math"
	"slices"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// line is a budget's line before it is turned into a standard uncertainty. A covariance may be negative.
type line struct {
	source   string
	variance float64
}

// negligible is a variance of a logarithm that is only the rounding of what cancels.
const negligible = 1e-24

// correlated names the budget's line for what two fits of one history have in common.
const correlated = "correlation of the two fits"

// contributions turns lines into a budget; lines that cancelled are left out.
func contributions(lines []line, total float64) (budget []Contribution) {
	counts := func(l line) bool { return math.Abs(l.variance) > negligible }
	n := 0
	for _, l := range lines {
		if counts(l) {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	budget = make([]Contribution, 0, n)
	for _, l := range lines {
		if counts(l) {
			budget = append(budget, Contribution{l.source, math.Sqrt(math.Abs(l.variance)), l.variance / total})
		}
	}
	return budget
}

// scaled returns a budget for a result that is factor times as large.
func scaled(budget []Contribution, factor float64) []Contribution {
	budget = slices.Clone(budget)
	for i := range budget {
		budget[i].U *= math.Abs(factor)
	}
	return budget
}

// shareBudgets holds budgets once that stand with a criterion and with the growth that it judges.
func (s *specimen) shareBudgets() {
	if s.Latest < 0 {
		return
	}
	m := &s.Measurements[s.Latest]
	growths := map[job.Quantity]*Growth{job.OhmicGrowth: &m.OhmicGrowth, job.ChargeTransferGrowth: &m.ChargeTransferGrowth, job.TotalResistanceGrowth: &m.TotalGrowth}
	for _, c := range s.Criteria {
		if g := growths[c.Quantity]; g != nil && slices.Equal(g.Contributions, c.Contributions) {
			g.Contributions = c.Contributions
		}
	}
}

// add puts a variance to the line of its source.
func add(lines []line, source string, variance float64) []line {
	i := slices.IndexFunc(lines, func(l line) bool { return l.source == source })
	if i < 0 {
		return append(lines, line{source, variance})
	}
	lines[i].variance += variance
	return lines
}

// effectLines sums the squares of independent effects by source.
func effectLines(effects []effect) (lines []line) {
	for _, e := range effects {
		lines = add(lines, e.source, e.size*e.size)
	}
	return lines
}

// fitLines is the quadratic form of the fits' weights and covariances (JCGM 100:2008, equation 16). Different
// elements count as uncorrelated.
func fitLines(fits []fitted, cov covariance) (lines []line) {
	mixed := 0.0
	for _, a := range fits {
		for _, b := range fits {
			if a.element != b.element {
				continue
			}
			product := a.weight * b.weight * cov(a.spectrum, b.spectrum, a.element)
			if a.source == b.source {
				lines = add(lines, a.source, product)
			} else {
				mixed += product
			}
		}
	}
	if mixed != 0 {
		lines = append(lines, line{correlated, mixed})
	}
	return lines
}

// finite returns a value where estimate and uncertainty are finite.
func finite(estimate, uncertainty float64) (fit.Value, bool) {
	if math.IsNaN(estimate) || math.IsInf(estimate, 0) || math.IsInf(uncertainty, 0) || !(uncertainty >= 0) {
		return fit.Value{}, false
	}
	return fit.NewValue(estimate, uncertainty), true
}
