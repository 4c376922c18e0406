package xlsx

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"ohmledger/health"
	"ohmledger/health/job"
)

// verdicts in the order in which they decide over each other, the gravest first: a failure is certain
// whatever else could not be evaluated, and nothing is passed in silence.
var verdicts = []health.Verdict{health.Fail, health.NotEvaluated, health.ConditionalFail, health.ConditionalPass, health.Pass}

// tints are ink and ground of a verdict's word.
var tints = map[health.Verdict]struct{ ink, ground string }{
	health.Pass:            {"0B5A50", "DDF0EC"},
	health.ConditionalPass: {"5B5A00", "F1F0CF"},
	health.ConditionalFail: {"7A4A00", "FBE6CC"},
	health.Fail:            {"8F2A00", "F9DACB"},
	health.NotEvaluated:    {"454F55", "E6E9EB"},
}

func (b *book) verdict(v health.Verdict) string {
	return text(b.always("verdict." + strings.ReplaceAll(v.String(), " ", "-")))
}

func (b *book) quantity(q job.Quantity) string { return b.always("quantity." + string(q)) }

func (b *book) side(s job.Side) string { return b.always("side." + string(s)) }

// gravest is the formula for the gravest verdict in a range; not evaluated where it is empty.
func (b *book) gravest(place string) string {
	formula := quoted(b.verdict(health.NotEvaluated))
	for i := len(verdicts) - 1; i >= 0; i-- {
		word := quoted(b.verdict(verdicts[i]))
		formula = "IF(COUNTIF(" + place + "," + word + ")>0," + word + "," + formula + ")"
	}
	return formula
}

// tint colours verdicts in a range by their words.
func (s *sheet) tint(place string) {
	var rules []excelize.ConditionalFormatOptions
	for _, v := range verdicts {
		t := tints[v]
		id, err := s.file.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: t.ink, Bold: v == health.Fail}, Fill: plain(t.ground)})
		s.note(err)
		rules = append(rules, excelize.ConditionalFormatOptions{Type: "cell", Criteria: "==", Value: quoted(s.verdict(v)), Format: &id})
	}
	if s.err == nil {
		s.note(s.file.SetConditionalFormat(s.name, place, rules))
	}
}

// bracket shows the grades of a range of rows in brackets where the verdict beside them passes none of the job's limits; the cells
// hold the grade alone, which formulas count.
func (s *sheet) bracket(verdict, grade string, first, last int) {
	if len(s.doc.Assessment.Job.Limits) == 0 || last < first || s.err != nil {
		return
	}
	format := `"("@")"`
	id, err := s.file.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: quietInk}, CustomNumFmt: &format})
	s.note(err)
	place := "$" + verdict + number(first)
	passes := place + "=" + quoted(s.verdict(health.Pass)) + "," + place + "=" + quoted(s.verdict(health.ConditionalPass))
	formula := "NOT(OR(" + passes + ",$" + grade + number(first) + "=" + quoted(s.gradeName("")) + "))"
	rule := excelize.ConditionalFormatOptions{Type: "formula", Criteria: formula, Format: &id}
	s.note(s.file.SetConditionalFormat(s.name, grade+number(first)+":"+grade+number(last), []excelize.ConditionalFormatOptions{rule}))
}
