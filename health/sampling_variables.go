package health

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"ohmledger/health/job"
	"ohmledger/health/sampling"
	"ohmledger/health/statistics"
)

// InspectedLimit is one quantity of a sample held against its limits by mean and standard deviation.
type InspectedLimit struct {
	Quantity     job.Quantity
	Lower, Upper float64 // limits, in the unit of the quantity; NaN: none
	Logarithmic  bool    // mean and standard deviation are those of the natural logarithm
	Mean, SD     float64
	// IndexLower and IndexUpper are the distances of the mean from the limits in standard deviations (Q), NaN where
	// there is no limit; PercentLower and PercentUpper the percentages beyond that they estimate, likewise.
	// All are NaN where the quantity could not be judged.
	IndexLower, IndexUpper     float64
	PercentLower, PercentUpper float64
	Normality                  statistics.NormalityTest
	Decision                   Acceptance
	Because                    Statement
	Reason                     string // what Because says, in words
}

// byVariables holds mean and standard deviation of the sample against the plan of MIL-STD-414.
func (i *Inspection) byVariables(j *job.Job, cells []LotCell) Statement {
	i.Standard = "MIL-STD-414"
	if i.Severity != "normal" && i.Severity != "tightened" {
		return i.unplanned("severity-without-table")
	}
	i.CodeLetter = sampling.VariablesLetter(i.LotSize, i.Level)
	p, ok := sampling.VariablesPlan(i.CodeLetter, i.AQL, i.Severity)
	if !ok {
		return i.unplanned("no-sampling-plan")
	}
	i.PlanLetter, i.SampleSize, i.Constant = p.Letter, min(p.Size, i.LotSize), p.Number
	i.LargestPercent = 100 * sampling.FractionBeyond(i.Constant, i.SampleSize)
	if i.SampleSize >= 3 {
		c := sampling.VariablesCharacteristic(i.SampleSize, i.Constant)
		i.Law = sampling.NoncentralT
		i.draw(c, c.Table(), i.AQL/100)
	}
	if wrong := i.missized(); wrong.says() {
		return wrong
	}
	return i.decideByLimits(j, cells)
}

// decideByLimits judges each limited quantity by itself; the lot is accepted where all are.
func (i *Inspection) decideByLimits(j *job.Job, cells []LotCell) Statement {
	for k, q := range LotQuantities(j) {
		if l, limited := limitsOf(j.Limits, q); limited {
			l.measure(cells, k)
			l.judge(i)
			i.Limits = append(i.Limits, l)
		}
	}
	if len(i.Limits) == 0 {
		return because("sampling-without-limits")
	}
	worst := slices.MaxFunc(i.Limits, func(a, b InspectedLimit) int { return sternness[a.Decision] - sternness[b.Decision] })
	i.Decision = worst.Decision
	if i.Decision == Accepted {
		return because("lot-accepted-by-variables", count("inspected", i.Inspected), number("constant", i.Constant, One))
	}
	return worst.Because
}

// sternness orders decisions by which decides over which.
var sternness = [...]int{Accepted: 0, Undecided: 1, Rejected: 2}

// limitsOf gathers the limits of a quantity, the strictest on each side. It reports false where there is none.
func limitsOf(limits []job.Limit, q job.Quantity) (l InspectedLimit, limited bool) {
	nan := math.NaN()
	l = InspectedLimit{Quantity: q, Lower: nan, Upper: nan, Mean: nan, SD: nan, IndexLower: nan, IndexUpper: nan, PercentLower: nan, PercentUpper: nan,
		Normality: statistics.NormalityTest{Statistic: nan, Critical: statistics.NormalityCritical, P: nan}, Logarithmic: spreadsByFactors(q)}
	for _, limit := range limits {
		switch {
		case limit.Quantity != q:
			continue
		case limit.Side == job.Max && !(l.Upper <= limit.Bound):
			l.Upper = limit.Bound
		case limit.Side == job.Min && !(l.Lower >= limit.Bound):
			l.Lower = limit.Bound
		}
		limited = true
	}
	return l, limited
}

// measure takes mean and standard deviation of the quantity over the sample.
func (l *InspectedLimit) measure(cells []LotCell, k int) {
	values := valuesOf(cells, k)
	if missing := len(cells) - len(values); missing > 0 {
		l.Because = because("sample-values-missing", word("quantity", string(l.Quantity)), count("missing", missing))
		return
	}
	scaled := onScale(values, l.Logarithmic)
	l.Mean, l.SD = stat.MeanStdDev(scaled, nil)
	l.Normality = statistics.AndersonDarling(scaled)
}

// judge holds a measured quantity against the plan: form 1 for one limit, form 2 for two. Both are the same rule for one
// limit. The percentages are the best unbiased estimates (Lieberman and Resnikoff, 1955).
func (l *InspectedLimit) judge(i *Inspection) {
	if l.Because.says() {
		return
	}
	n, facts := i.Inspected, []Fact{word("quantity", string(l.Quantity))}
	if l.Normality.P < 0.01 {
		l.Because = because("sample-not-normal", append(facts, number("p", l.Normality.P, One))...)
		return
	}
	side := func(limit, sign float64) (q, percent float64) {
		if math.IsNaN(limit) {
			return math.NaN(), math.NaN()
		}
		if l.Logarithmic {
			limit = math.Log(limit)
		}
		q = sign * (limit - l.Mean) / l.SD
		return q, 100 * sampling.FractionBeyond(q, n)
	}
	l.IndexUpper, l.PercentUpper = side(l.Upper, 1)
	l.IndexLower, l.PercentLower = side(l.Lower, -1)
	percent := l.PercentBeyond()
	facts = append(facts, number("estimated", percent, PerCent), number("allowed", i.LargestPercent, PerCent))
	if percent <= i.LargestPercent {
		l.Decision, l.Because = Accepted, because("quantity-accepted", facts...)
		return
	}
	l.Decision, l.Because = Rejected, because("quantity-rejected", facts...)
}

// PercentBeyond is the estimated percentage beyond the limits together; NaN where the quantity could not be judged.
func (l *InspectedLimit) PercentBeyond() float64 {
	switch {
	case math.IsNaN(l.PercentLower):
		return l.PercentUpper
	case math.IsNaN(l.PercentUpper):
		return l.PercentLower
	}
	return l.PercentLower + l.PercentUpper
}
