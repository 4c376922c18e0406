package health

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// LotGroup is the part of a lot that has one entry in the column that divides it.
type LotGroup struct {
	Name       string // empty: the column is blank
	Cells      int
	Counts     Counts
	Grades     []GradeCount
	Quantities []GroupQuantity // in the order of Lot.Quantities
}

// GroupQuantity is one quantity of a group, and how the group stands against the rest of the lot.
type GroupQuantity struct {
	Quantity job.Quantity
	Summary  *LotSummary // nil where no cell of the group has a value
	// Difference is the group's mean less that of the other cells, but for those of groups that depart, in the
	// quantity's unit; where Logarithmic the group's geometric mean over theirs, less 1. NaN where either side has fewer
	// than two values.
	Logarithmic bool
	Difference  float64
	Interval    fit.Interval // 95 % for all groups together (Welch's test, Bonferroni's correction)
	P           float64      // of no difference, corrected likewise; 0 to 1
	Departs     bool         // P below 5 %
}

// BetweenGroups is the one-way analysis of variance of a quantity (NIST/SEMATECH e-Handbook 7.4.3), on the scale of the quantity.
type BetweenGroups struct {
	F                              float64 // NaN where there is no group with two values
	NumeratorFreedom, ErrorFreedom float64
	P                              float64
	// Spread is the standard deviation of the groups' means apart from what the cells within them scatter, Within that
	// of the cells in a group; relative where LotQuantity.Logarithmic.
	Spread, Within float64
}

// divide gives the lot its groups, in the order of their names.
func (l *Lot) divide(j *job.Job, cells []LotCell) {
	quantities := LotQuantities(j)
	l.compare(cells, quantities)
	if j.GroupBy == "" {
		return
	}
	parts := map[string][]LotCell{}
	var names []string
	for _, c := range cells {
		if parts[c.Group] == nil {
			names = append(names, c.Group)
		}
		parts[c.Group] = append(parts[c.Group], c)
	}
	slices.SortFunc(names, naturally)
	for _, name := range names {
		part := parts[name]
		l.Groups = append(l.Groups, LotGroup{Name: name, Cells: len(part), Counts: countsOf(part), Grades: gradeCounts(j, part)})
	}
	for i := range l.Quantities {
		d := &l.Quantities[i]
		k := slices.Index(quantities, d.Quantity)
		samples := make([][]float64, len(names))
		for n, name := range names {
			values := valuesOf(parts[name], k)
			samples[n] = onScale(values, d.Logarithmic)
			l.Groups[n].Quantities = append(l.Groups[n].Quantities, groupQuantity(d.Quantity, values, d.Logarithmic))
		}
		d.Between = analysisOfVariance(samples)
		againstRest(l.Groups, i, samples, d.Logarithmic)
	}
}

func groupQuantity(q job.Quantity, values []float64, logarithmically bool) GroupQuantity {
	nan := math.NaN()
	g := GroupQuantity{Quantity: q, Logarithmic: logarithmically, Difference: nan, Interval: fit.Interval{Lower: nan, Upper: nan}, P: nan}
	if len(values) > 0 {
		slices.Sort(values)
		s := summarise(values)
		g.Summary = &s
	}
	return g
}

// againstRest holds each group's i-th quantity against the other cells. A group that departs is taken from what the
// others are held against, the clearest first, so that one odd pallet does not make all others look odd.
func againstRest(groups []LotGroup, i int, samples [][]float64, logarithmically bool) {
	apart := make([]bool, len(groups))
	for {
		clearest := -1
		for n := range groups {
			g := &groups[n].Quantities[i]
			g.compare(samples, n, apart, logarithmically)
			if g.Departs && !apart[n] && (clearest < 0 || g.P < groups[clearest].Quantities[i].P) {
				clearest = n
			}
		}
		if clearest < 0 {
			return
		}
		apart[clearest] = true
	}
}

// compare holds the n-th sample against the others that are not apart.
func (g *GroupQuantity) compare(samples [][]float64, n int, apart []bool, logarithmically bool) {
	var rest []float64
	comparisons := 0.0
	for m, s := range samples {
		if m != n && !apart[m] {
			rest = append(rest, s...)
		}
		if len(s) >= 2 {
			comparisons++
		}
	}
	if len(samples[n]) < 2 || len(rest) < 2 {
		return
	}
	g.Difference, g.Interval, g.P = welch(samples[n], rest, comparisons)
	g.Departs = g.P < 0.05
	if logarithmically {
		g.Difference, g.Interval = math.Expm1(g.Difference), fit.Interval{Lower: math.Expm1(g.Interval.Lower), Upper: math.Expm1(g.Interval.Upper)}
	}
}

// welch compares two means whose variances may differ (Welch, Biometrika 34 (1947) 28), one of so many comparisons.
func welch(a, b []float64, comparisons float64) (difference float64, interval fit.Interval, p float64) {
	meanA, varianceA := stat.MeanVariance(a, nil)
	meanB, varianceB := stat.MeanVariance(b, nil)
	difference = meanA - meanB
	va, vb := varianceA/float64(len(a)), varianceB/float64(len(b))
	u := math.Sqrt(va + vb)
	if !(u > 0) {
		return difference, fit.Interval{Lower: difference, Upper: difference}, math.NaN()
	}
	freedom := square(va+vb) / (va*va/float64(len(a)-1) + vb*vb/float64(len(b)-1))
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}
	half := u * t.Quantile(1-0.025/comparisons)
	p = min(1, 2*comparisons*t.CDF(-math.Abs(difference)/u))
	return difference, fit.Interval{Lower: difference - half, Upper: difference + half}, p
}

// analysisOfVariance of samples; nil where fewer than two of them have a value.
func analysisOfVariance(samples [][]float64) *BetweenGroups {
	n, groups, sum, squares := 0.0, 0.0, 0.0, 0.0
	for _, s := range samples {
		if len(s) > 0 {
			groups++
			n += float64(len(s))
			sum += stat.Mean(s, nil) * float64(len(s))
			squares += square(float64(len(s)))
		}
	}
	if groups < 2 {
		return nil
	}
	between, within := 0.0, 0.0
	for _, s := range samples {
		if len(s) == 0 {
			continue
		}
		mean := stat.Mean(s, nil)
		between += float64(len(s)) * square(mean-sum/n)
		for _, x := range s {
			within += square(x - mean)
		}
	}
	b := &BetweenGroups{F: math.NaN(), P: math.NaN(), NumeratorFreedom: groups - 1, ErrorFreedom: n - groups}
	if !(within > 0) {
		return b
	}
	within /= b.ErrorFreedom
	between /= b.NumeratorFreedom
	b.F, b.Within = between/within, math.Sqrt(within)
	b.P = distuv.F{D1: b.NumeratorFreedom, D2: b.ErrorFreedom}.Survival(b.F)
	b.Spread = math.Sqrt(max(0, between-within) / ((n - squares/n) / b.NumeratorFreedom))
	return b
}
