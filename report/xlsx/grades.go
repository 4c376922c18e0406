package xlsx

import (
	"math"
	"slices"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// asked is a limit of a grade.
type asked struct {
	limit // named like grade_1_limit_2
	grade int
	row   int // on the sheet Limits
}

// graded is a row of the grades: a cell with its place among them.
type graded struct {
	cell *health.Cell
	i    int
}

// askedFor numbers the limits of all grades, which stand below the limits and what else is in force.
func (b *book) askedFor() (list []asked) {
	row := b.gradeRow()
	for g, grade := range b.doc.Assessment.Job.Grades {
		for i, l := range grade.Limits {
			name := "grade_" + number(g+1) + "_limit_" + number(i+1)
			list = append(list, asked{limit{l, i, name, b.scaleOf(l.Quantity)}, g, row})
			row++
		}
	}
	return list
}

// grades lists every cell with its grade, which follows the limits of the grades, and why it has no better one.
func (b *book) grades() error {
	if len(b.doc.Assessment.Job.Grades) == 0 {
		return nil
	}
	s := b.newSheet("grades", widths(b.graded), firstRow)
	s.top("grades")
	after := table(s, "grades", firstRow, b.graded, b.allGraded())
	s.tint(b.graded.at("verdict", firstRow) + ":" + b.graded.at("verdict", max(firstRow, after-1)))
	s.bracket(b.graded.letter("verdict"), b.graded.letter("grade"), firstRow, after-1)
	s.protect()
	return s.end()
}

func (b *book) allGraded() func(yield func(graded) bool) {
	return func(yield func(graded) bool) {
		for i, c := range b.cells() {
			if !yield(graded{c, i}) {
				return
			}
		}
	}
}

func (b *book) gradeColumns() *columns[graded] {
	c := newColumns[graded]()
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(g graded) string { return g.cell.Name })
	c.centred("verdict", b.say("column.verdict"), 17, func(g graded, _ int) cell {
		return cell{value: b.verdict(g.cell.Verdict), formula: inSheet(b.sheetName("summary"), b.summed.at("verdict", firstSummaryRow+g.i)), look: look{side: "center"}}
	})
	c.add("grade", b.say("column.grade"), middling, func(g graded, at int) cell {
		return cell{value: b.gradeName(g.cell.Grade), formula: b.gradeFormula(c, g.cell, at), look: look{bold: true, side: "left"}}
	})
	c.list[len(c.list)-1].side = "left"
	c.words("issued", b.say("column.grade_issued"), middling, func(g graded) string { return b.gradeName(g.cell.Grade) })
	b.gradeReasons(c)
	for _, q := range b.gradedQuantities() {
		s, name := b.scaleOf(q), b.quantity(q)
		c.add(string(q), withUnit(name, s), middling, func(g graded, _ int) cell { return b.gradedValue(g, q, s, "", estimate) })
		c.add("u "+string(q), withUnit(b.say("u", name), s), middling, func(g graded, _ int) cell { return b.gradedValue(g, q, s, "u ", uncertainty) })
	}
	for _, a := range b.asks {
		head := b.say("grade_limit", map[string]any{"Grade": b.doc.Assessment.Job.Grades[a.grade].Name, "Quantity": b.quantity(a.Quantity), "Side": b.side(a.Side)})
		c.centred(a.name, head, middling, func(g graded, at int) cell {
			return cell{value: b.yesNo(a.met(b.doc.Assessment.Job.DecisionRule, g.cell)), formula: b.metFormula(c, a, g.cell, at), look: look{side: "center"}}
		})
	}
	return c
}

// gradeReasons are what the report says about a grade.
func (b *book) gradeReasons(c *columns[graded]) {
	of := func(key, head string, width float64, say func(g *health.Grading) string) {
		c.words(key, head, width, func(g graded) string {
			if g.cell.Grading == nil {
				return ""
			}
			return say(g.cell.Grading)
		})
	}
	of("reason", b.say("column.reason_issued"), wider, func(g *health.Grading) string { return g.Reason })
	of("better", b.say("column.better_grade"), middling, func(g *health.Grading) string { return g.Better })
	of("missed", b.say("column.missed"), widest, b.missed)
}

// missed are the limits of the better grade that a cell misses, and by how much.
func (b *book) missed(g *health.Grading) string {
	parts := make([]string, len(g.Missed))
	for i, m := range g.Missed {
		s, by := b.scaleOf(m.Quantity), ""
		if finite(m.By) {
			by = strings.TrimSpace(b.words.Notation().Uncertainty(math.Abs(m.By), s) + " " + s.Symbol)
		}
		parts[i] = b.say("missed", map[string]any{"Quantity": b.quantity(m.Quantity), "By": by, "Reason": m.Reason})
	}
	return listed(parts)
}

func (b *book) gradeName(grade string) string {
	if grade == "" {
		return b.say("grade.none")
	}
	return grade
}

// gradedQuantities are those that grades ask for, in the order of the limits.
func (b *book) gradedQuantities() (list []job.Quantity) {
	for _, a := range b.asks {
		if !slices.Contains(list, a.Quantity) {
			list = append(list, a.Quantity)
		}
	}
	return list
}

// gradedValue shows what a grade is decided on, and where the results hold it.
func (b *book) gradedValue(g graded, q job.Quantity, s notation.Scale, prefix string, show func(v fit.Value, s notation.Scale) cell) cell {
	v := valueOf(g.cell, q)
	shown := show(v, s)
	if prefix != "" && v.Known() && v.StandardUncertainty() == 0 {
		return cell{value: 0, look: look{format: noneStated}}
	}
	if place, ok := b.placeOf(g.cell, g.i, q, v, prefix); ok {
		shown.formula = place
	}
	return shown
}

// noneStated shows a dash for nought, with which formulas go on as if there were no uncertainty.
const noneStated = `0;-0;"` + notation.NotHad + `"`

// met reports whether the judged value passes a grade's limit by the decision rule.
func (a asked) met(rule job.DecisionRule, c *health.Cell) bool {
	v := valueOf(c, a.Quantity)
	if !v.Known() {
		return false
	}
	value, bound, u := a.scale.In(v.Estimate()), a.scale.In(a.Bound), a.scale.In(v.StandardUncertainty())
	if report.IsGrowth(a.Quantity) {
		if !(bound > 0) {
			return false
		}
		u /= value
		value, bound = math.Log(value), math.Log(bound)
	}
	margin := bound - value
	if a.Side == job.Min {
		margin = -margin
	}
	return margin >= 0 && rule.Kind == job.Simple || margin >= rule.CoverageFactor*u
}

// metFormula says the same as met, of the cells of a row.
func (b *book) metFormula(c *columns[graded], a asked, of *health.Cell, at int) string {
	if !b.gradesAreLive(of) {
		return ""
	}
	value, u, first, second := c.at(string(a.Quantity), at), c.at("u "+string(a.Quantity), at), a.name, c.at(string(a.Quantity), at)
	if a.Side == job.Min {
		first, second = second, first
	}
	margin, had := first+"-"+second, "ISNUMBER("+value+")"
	if report.IsGrowth(a.Quantity) {
		u, margin = u+"/"+value, "LN("+first+")-LN("+second+")"
		had = "IF(" + had + "," + a.name + ">0,FALSE)"
	}
	guard := "IF(" + nameRule + "=" + quoted(string(job.Simple)) + ",0," + nameFactor + "*" + u + ")"
	return "IF(" + had + ",IF(" + margin + ">=" + guard + "," + quoted(b.yesNo(true)) + "," + quoted(b.yesNo(false)) + ")," + quoted(b.yesNo(false)) + ")"
}

// gradeFormula is the first grade all of whose limits are met.
func (b *book) gradeFormula(c *columns[graded], of *health.Cell, at int) string {
	if !b.gradesAreLive(of) {
		return ""
	}
	grades := b.doc.Assessment.Job.Grades
	formula := quoted(b.gradeName(""))
	for i := len(grades) - 1; i >= 0; i-- {
		if met := b.allMet(c, i, at); met != "" {
			formula = "IF(" + met + "," + quoted(text(grades[i].Name)) + "," + formula + ")"
		}
	}
	return formula
}

// allMet asks whether all limits of a grade are met; blank where it has none, which no cell has.
func (b *book) allMet(c *columns[graded], grade, at int) string {
	var met []string
	for _, a := range b.asks {
		if a.grade == grade {
			met = append(met, c.at(a.name, at)+"="+quoted(b.yesNo(true)))
		}
	}
	if len(met) == 0 {
		return ""
	}
	return "AND(" + strings.Join(met, ",") + ")"
}

// gradesAreLive reports whether the formulas give the grade that was issued. Where they do not, the grade stands without.
func (b *book) gradesAreLive(c *health.Cell) bool {
	rule := b.doc.Assessment.Job.DecisionRule
	if !b.gradeNamesArePlain() {
		return false
	}
	for g, grade := range b.doc.Assessment.Job.Grades {
		n, met := 0, 0
		for _, a := range b.asks {
			if a.grade != g {
				continue
			}
			n++
			if a.met(rule, c) {
				met++
			}
		}
		if n > 0 && met == n {
			return grade.Name == c.Grade
		}
	}
	return c.Grade == "" && len(c.Values) > 0
}
