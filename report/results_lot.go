package report

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health"
)

// writeLot writes what the cells of a job show together, with a line for each quantity, group and matched group. What job.yaml
// does not ask for is null.
func writeLot(out *layout, w *Words, l *health.Lot) {
	grades, ungraded := gradeCountsOf(l.Grades, l.Cells)
	out.key("lot")
	out.open("{")
	out.member("cells", l.Cells)
	out.member("reference_cells", listed(l.Reference))
	out.member("counts", countsOf(l.Counts))
	out.member("grades", grades)
	out.member("ungraded", ungraded)
	lines(out, "quantities", l.Quantities, func(q health.LotQuantity) any { return lotQuantityOf(w, &q) })
	out.member("grouped_by", optional(l.GroupedBy))
	lines(out, "groups", l.Groups, func(g health.LotGroup) any { return lotGroupOf(w, &g) })
	out.member("sampling", inspectionOf(w, l.Sampling))
	writeMatching(out, w, l.Grouping)
	lines(out, "departures", l.Departures, lotDepartureOf)
	out.close("}")
}

type gradeCountForm struct {
	Grade string `json:"grade"`
	Cells int    `json:"cells"`
}

// gradeCountsOf parts the cells that met no grade from the others. A job without grades grades none.
func gradeCountsOf(counts []health.GradeCount, cells int) (grades []gradeCountForm, ungraded int) {
	grades, ungraded = []gradeCountForm{}, cells
	for _, c := range counts {
		if c.Grade != "" {
			grades = append(grades, gradeCountForm(c))
			ungraded -= c.Cells
		}
	}
	return grades, ungraded
}

// gaps gathers the members of an object that are null, with the reason for each.
type gaps struct {
	words *Words
	list  []missingForm
}

func newGaps(w *Words) *gaps { return &gaps{w, []missingForm{}} }

// null notes a member that is null, why being a block of the wording.
func (g *gaps) null(member, why string) {
	g.list = append(g.list, missingForm{member, g.words.missing("lot-"+why, nil)})
}

// number is x, noted where it is not finite.
func (g *gaps) number(member string, x float64, why string) finite {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		g.null(member, why)
	}
	return finite(x)
}

// interval is nil, and noted, where neither end is finite.
func (g *gaps) interval(member string, i fit.Interval, why string) *intervalForm {
	if !isFinite(i.Lower) && !isFinite(i.Upper) {
		g.null(member, why)
		return nil
	}
	return &intervalForm{g.number(member+".lower", i.Lower, why), g.number(member+".upper", i.Upper, why)}
}

func isFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

type lotGroupForm struct {
	Name       string              `json:"name"`
	Cells      int                 `json:"cells"`
	Counts     countsForm          `json:"counts"`
	Grades     []gradeCountForm    `json:"grades"`
	Ungraded   int                 `json:"ungraded"`
	Quantities []groupQuantityForm `json:"quantities"`
}

// groupQuantityForm is a quantity of a group, and the group against the other cells.
type groupQuantityForm struct {
	Quantity     string        `json:"quantity"`
	Summary      *summaryForm  `json:"summary"`
	Relative     bool          `json:"relative"`
	Difference   finite        `json:"difference"`
	Interval95   *intervalForm `json:"difference_interval_95"`
	P            finite        `json:"p"`
	Departs      bool          `json:"departs"`
	NotEvaluated []missingForm `json:"not_evaluated"`
}

func lotGroupOf(w *Words, g *health.LotGroup) lotGroupForm {
	grades, ungraded := gradeCountsOf(g.Grades, g.Cells)
	return lotGroupForm{g.Name, g.Cells, countsOf(g.Counts), grades, ungraded,
		each(g.Quantities, func(q health.GroupQuantity) groupQuantityForm { return groupQuantityOf(w, &q) })}
}

func groupQuantityOf(w *Words, q *health.GroupQuantity) groupQuantityForm {
	const few = "few-to-compare"
	miss := newGaps(w)
	f := groupQuantityForm{Quantity: string(q.Quantity), Relative: q.Logarithmic, Difference: miss.number("difference", q.Difference, few),
		Interval95: miss.interval("difference_interval_95", q.Interval, few), P: miss.number("p", q.P, few), Departs: q.Departs}
	if q.Summary == nil {
		miss.null("summary", "no-value")
	} else {
		f.Summary = summaryOf(w, q.Summary)
	}
	f.NotEvaluated = miss.list
	return f
}

// lotDepartureForm sums up how cells stand against the reference cells in one quantity.
type lotDepartureForm struct {
	Quantity             string `json:"quantity"`
	Cells                int    `json:"cells"`
	Above                int    `json:"above"`
	Below                int    `json:"below"`
	MeasurementDominates int    `json:"measurement_dominates"`
	GroupDominates       int    `json:"group_dominates"`
}

func lotDepartureOf(d health.LotDeparture) any {
	return lotDepartureForm{string(d.Quantity), d.Cells, d.Above, d.Below, d.MeasurementDominates, d.GroupDominates}
}
