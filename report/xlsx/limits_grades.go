package xlsx

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"ohmledger/health/job"
)

// gradeRow is where the first limit of a grade stands on the sheet Limits.
func (b *book) gradeRow() int {
	return firstLimitRow + len(b.list) + correctionsBelow + correctionRows + gradesBelow
}

// gradeTables are what the grades ask for, as inputs, and how many cells have which.
func (s *sheet) gradeTables() {
	if len(s.doc.Assessment.Job.Grades) == 0 {
		return
	}
	row := s.gradeRow()
	s.row(row-2, words(s.say("grade_limits"), look{bold: true}))
	after := table(s, "grade_limits", row, s.askColumns(), slices.Values(s.asks))
	for _, a := range s.asks {
		s.nameCell(a.name, inputColumn, a.row)
	}
	s.row(after+1, words(s.say("grade_counts"), look{bold: true}))
	table(s, "grade_counts", after+3, s.countColumns(), slices.Values(append(slices.Clone(s.doc.Assessment.Job.Grades), job.Grade{})))
}

func (s *sheet) askColumns() *columns[asked] {
	c := newColumns[asked]()
	c.words("grade", s.say("column.grade"), gradeWidth, func(a asked) string { return s.doc.Assessment.Job.Grades[a.grade].Name })
	boundColumns(s.book, c, func(a asked) limit { return a.limit })
	c.figure(s.book, "grade_met", func(a asked) cell {
		n := 0
		for _, of := range s.cells() {
			if a.met(s.doc.Assessment.Job.DecisionRule, of) {
				n++
			}
		}
		return cell{value: n, formula: s.countGraded(a.name, s.yesNo(true))}
	})
	return c
}

// countColumns count the cells of each grade; the one without a name is of those that met none.
func (s *sheet) countColumns() *columns[job.Grade] {
	c := newColumns[job.Grade]()
	c.words("grade", s.say("column.grade"), gradeWidth, func(g job.Grade) string { return s.gradeName(g.Name) })
	c.words("asks", s.say("column.grade_asks"), wide, s.gradeWords)
	c.add("cells", s.say("column.lot_cells"), narrow, func(g job.Grade, _ int) cell {
		return cell{value: s.gradeCount(g.Name), formula: s.countGraded("grade", s.gradeName(g.Name))}
	})
	c.figure(s.book, "issued", func(g job.Grade) cell { return cell{value: s.gradeCount(g.Name), look: look{muted: true}} })
	return c
}

func (b *book) gradeCount(grade string) int { return b.plan.grades[grade] }

// countGraded counts the cells that have a word in a column of the grades; blank where the format's way of comparing,
// without case, would count others too.
func (b *book) countGraded(key, word string) string {
	if b.doc.Assessment.Cells.Len() == 0 || key == "grade" && (b.gradeNamesClash() || !b.gradeNamesArePlain()) {
		return ""
	}
	place := b.place("grades", b.graded.letter(key), firstRow, firstRow+b.doc.Assessment.Cells.Len()-1)
	return "COUNTIF(" + place + "," + quoted("="+literal.Replace(text(word))) + ")"
}

// literal takes the meaning from what a criterion takes for any text.
var literal = strings.NewReplacer("~", "~~", "*", "~*", "?", "~?")

// gradeNamesClash reports whether two names of grades differ by case alone, or one is the word for none.
func (b *book) gradeNamesClash() bool {
	seen := map[string]bool{strings.ToLower(b.gradeName("")): true}
	for _, g := range b.doc.Assessment.Job.Grades {
		name := strings.ToLower(text(g.Name))
		if seen[name] {
			return true
		}
		seen[name] = true
	}
	return false
}

// gradeNamesArePlain reports whether formulas can hold the names of all grades: a text of theirs has at most 255
// characters, and programs differ in what they make of escapes in it.
func (b *book) gradeNamesArePlain() bool {
	const longest = 100
	for _, g := range b.doc.Assessment.Job.Grades {
		if utf8.RuneCountInString(g.Name) > longest || escape.MatchString(g.Name) || strings.ContainsFunc(g.Name, unicode.IsControl) {
			return false
		}
	}
	return true
}

// gradeWords are what a grade asks for, as issued.
func (b *book) gradeWords(g job.Grade) string {
	if g.Name == "" {
		return b.say("grade.none_asks")
	}
	var limits []string
	for _, l := range g.Limits {
		limits = append(limits, b.quantity(l.Quantity)+" "+b.side(l.Side)+" "+b.words.Notation().Stated(l.Bound, b.scaleOf(l.Quantity)))
	}
	return b.say("grade", map[string]any{"Name": g.Name, "Limits": limits})
}
