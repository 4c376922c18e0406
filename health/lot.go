package health

import (
	"cmp"
	"slices"

	"ohmledger/health/job"
)

// Lot is what the cells of a job show together: plain data, complete when returned. Reference cells are what others are
// compared with: they are left out of all of it.
type Lot struct {
	Cells      int      // that the lot consists of
	Reference  []string // cells left out
	Counts     Counts
	Quantities []LotQuantity // every quantity that a limit, a grade or the grouping names, in the order of LotQuantities
	GroupedBy  string        // the column; empty: the lot is not divided
	Groups     []LotGroup    // by name
	Grades     []GradeCount  // best first; nil where the job has no grades
	Sampling   *Inspection   // nil where the job asks for none
	Grouping   *Grouping     // likewise
	Departures []LotDeparture
}

// LotQuantity is one quantity of a lot.
type LotQuantity struct {
	Quantity job.Quantity
	Limits   []job.Limit // that the job sets for it
	Missing  int         // cells without a value
	// Summary, Histogram and Fits are of the values as they are; what follows them is reckoned on the natural logarithm where
	// Logarithmic: resistances and growths are positive and change by factors.
	Summary      LotSummary
	Histogram    Histogram
	Fits         []DistributionFit // normal and lognormal
	Adopted      int               // index into Fits of the law that describes the lot; −1: neither, or not known
	Logarithmic  bool
	Outliers     Outliers
	Separation   *SpreadSeparation // nil where there are fewer than three cells to part
	Between      *BetweenGroups    // nil where the lot is not divided
	Risks        []GlobalRisk      // of the decision rule at those of Limits where they can be had, in a lot such as this
	NoRisks      []string          // for each of Limits: code of why not; empty where there are risks
	BeyondLimits []int             // cells beyond each of Limits, whatever the uncertainty
}

// GradeCount counts the cells of a grade; the empty name is of those that met none.
type GradeCount struct {
	Grade string
	Cells int
}

// LotOf describes a lot by what LotCellOf took from its cells, in any order: that of one job, or of parts of it that
// were judged apart. Without a Phrase its reasons are what a machine would read.
func LotOf(j *job.Job, cells []LotCell, say Phrase) *Lot {
	l := &Lot{GroupedBy: j.GroupBy}
	var members []LotCell
	for _, c := range cells {
		if j.Baseline.Source == job.ReferenceCells && slices.Contains(j.Baseline.Cells, c.Name) {
			l.Reference = append(l.Reference, c.Name)
			continue
		}
		members = append(members, c)
	}
	slices.Sort(l.Reference)
	slices.SortFunc(members, func(a, b LotCell) int { return cmp.Compare(a.Name, b.Name) })
	l.Cells, l.Counts, l.Grades = len(members), countsOf(members), gradeCounts(j, members)
	for k, q := range LotQuantities(j) {
		if d, any := describe(q, j, members, k); any {
			if d.Separation != nil {
				d.Separation.Reason = say.reason(d.Separation.Because)
			}
			l.Quantities = append(l.Quantities, d)
		}
	}
	l.divide(j, members)
	l.depart(members)
	if j.Sampling != nil {
		l.Sampling = inspection(j, members)
		l.Sampling.Reason = say.reason(l.Sampling.Because)
		for i := range l.Sampling.Limits {
			l.Sampling.Limits[i].Reason = say.reason(l.Sampling.Limits[i].Because)
		}
	}
	if j.Grouping != nil {
		l.Grouping = grouping(j, members, say)
	}
	return l
}

func countsOf(cells []LotCell) (c Counts) {
	for _, cell := range cells {
		switch cell.Verdict {
		case Pass:
			c.Pass++
		case ConditionalPass:
			c.ConditionalPass++
		case ConditionalFail:
			c.ConditionalFail++
		case Fail:
			c.Fail++
		default:
			c.NotEvaluated++
		}
	}
	return c
}

func gradeCounts(j *job.Job, cells []LotCell) (counts []GradeCount) {
	if len(j.Grades) == 0 {
		return nil
	}
	for _, g := range j.Grades {
		counts = append(counts, GradeCount{Grade: g.Name})
	}
	counts = append(counts, GradeCount{})
	for _, c := range cells {
		at := slices.IndexFunc(counts, func(g GradeCount) bool { return g.Grade == c.Grade })
		if at < 0 {
			at = len(counts) - 1
		}
		counts[at].Cells++
	}
	return counts
}

// describe is one quantity of a lot. It reports false where no cell has it.
func describe(q job.Quantity, j *job.Job, cells []LotCell, k int) (d LotQuantity, any bool) {
	values := valuesOf(cells, k)
	d = LotQuantity{Quantity: q, Missing: len(cells) - len(values), Adopted: -1}
	for _, l := range j.Limits {
		if l.Quantity == q {
			d.Limits = append(d.Limits, l)
			d.BeyondLimits = append(d.BeyondLimits, beyond(values, l))
		}
	}
	if len(values) == 0 {
		return d, false
	}
	slices.Sort(values)
	d.Summary, d.Histogram = summarise(values), histogram(values)
	d.Fits = distributions(values, d.Limits)
	d.Adopted = adopted(d.Fits)
	d.Logarithmic = spreadsByFactors(q) && values[0] > 0
	d.Outliers = outliersOf(cells, k, d.Logarithmic)
	d.Separation = separation(cells, k, d.Outliers)
	d.globalRisks(j, cells, k)
	return d, true
}

func beyond(values []float64, l job.Limit) (n int) {
	for _, v := range values {
		if l.Side == job.Max && v > l.Bound || l.Side == job.Min && v < l.Bound {
			n++
		}
	}
	return n
}

// valuesOf are the values of the k-th quantity, of the cells that have it.
func valuesOf(cells []LotCell, k int) (values []float64) {
	for i := range cells {
		if v := cells[i].Values[k].Value; v.Known() {
			values = append(values, v.Estimate())
		}
	}
	return values
}

// having are the indices of the cells that have the k-th quantity.
func having(cells []LotCell, k int) (had []int) {
	for i := range cells {
		if cells[i].Values[k].Value.Known() {
			had = append(had, i)
		}
	}
	return had
}
