package xlsx

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"ohmledger/health"
	"ohmledger/report"
)

// summary answers first: which cells, what verdict, by which rule; the verdicts follow the limits.
func (b *book) summary() error {
	columns := b.summed
	s := b.newSheet("summary", widths(columns.columns), firstSummaryRow)
	last := firstSummaryRow + b.doc.Assessment.Cells.Len() - 1
	s.rowOf(titleHeight, 1, cell{value: text(b.title()), look: look{title: true}})
	s.broad(2, s.imprint())
	s.overall(3, columns.letter("verdict")+number(firstSummaryRow)+":"+columns.letter("verdict")+number(last))
	s.row(4, words(s.say("decision_rule"), look{bold: true}), cell{value: s.rule(), formula: s.ruleFormula()})
	s.row(5, words(s.say("inputs"), look{bold: true}), cell{value: s.say("inputs.issued"), formula: s.issuedFormula()})
	s.broad(6, s.say("reading")+" "+s.say("caution"))
	table(s, "summary", firstSummaryRow, columns.columns, b.eachCell())
	s.tint("B3")
	if len(b.doc.Assessment.Job.Grades) > 0 {
		s.bracket(columns.letter("verdict"), columns.letter("grade"), firstSummaryRow, last)
	}
	for _, key := range columns.verdicts {
		s.tint(columns.at(key, firstSummaryRow) + ":" + columns.at(key, max(last, firstSummaryRow)))
	}
	s.protect()
	return s.end()
}

// imprint is who reports what to whom.
func (b *book) imprint() string {
	job := b.doc.Assessment.Job
	parts := []string{job.Report.Number, job.Laboratory.Name, job.Report.Customer.Name, job.Report.Item}
	if !job.Report.Issued.IsZero() {
		parts = append(parts, b.say("issued", b.words.Notation().Date(job.Report.Issued)))
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " · ")
}

// overall writes the verdict of all cells and how many have which.
func (s *sheet) overall(row int, place string) {
	a := s.doc.Assessment
	counts := map[health.Verdict]int{health.Pass: a.Counts.Pass, health.ConditionalPass: a.Counts.ConditionalPass,
		health.ConditionalFail: a.Counts.ConditionalFail, health.Fail: a.Counts.Fail, health.NotEvaluated: a.Counts.NotEvaluated}
	all := cell{value: s.verdict(a.Verdict), formula: s.gravest(place), look: look{bold: true, side: "center"}}
	if a.Cells.Len() == 0 {
		all.formula = ""
	}
	cells := []cell{words(s.say("all_cells"), look{bold: true}), all}
	for i := len(verdicts) - 1; i >= 0; i-- {
		v := verdicts[i]
		count := cell{value: counts[v], formula: "COUNTIF(" + place + "," + quoted(s.verdict(v)) + ")", look: look{bold: true, side: "left"}}
		if a.Cells.Len() == 0 {
			count.formula = ""
		}
		cells = append(cells, cell{value: s.verdict(v), look: look{muted: true, side: "right"}}, count)
	}
	s.row(row, cells...)
}

// rule is the decision rule in words, with its coverage factor.
func (s *sheet) rule() string {
	rule := s.doc.Assessment.Job.DecisionRule
	return s.always("rule."+string(rule.Kind)) + ", k = " + general(rule.CoverageFactor)
}

func (s *sheet) ruleFormula() string {
	word := func(kind string) string { return quoted(s.always("rule." + kind)) }
	return "IF(" + nameRule + `="simple",` + word("simple") + ",IF(" + nameRule + `="guarded",` + word("guarded") + "," + word("four-way") + `))&", k = "&` + nameFactor
}

func (s *sheet) issuedFormula() string {
	return "IF(" + nameChanged + "=0," + quoted(s.say("inputs.issued")) + "," + quoted(s.say("inputs.changed")) + ")"
}

// summaryTable are the columns of the summary, and which of them hold verdicts.
type summaryTable struct {
	*columns[*health.Cell]
	verdicts []string
}

func (b *book) summaryColumns() summaryTable {
	c := summaryTable{newColumns[*health.Cell](), nil}
	width := b.plan.cellWidth // of what stands above the table, too
	for _, label := range []string{"all_cells", "decision_rule", "inputs"} {
		width = max(width, wordWidth(b.say(label)))
	}
	c.words("cell", b.say("column.cell"), width, func(c *health.Cell) string { return c.Name })
	c.centred("verdict", b.say("column.verdict"), 17, func(cl *health.Cell, at int) cell {
		return cell{value: b.verdict(cl.Verdict), formula: b.cellVerdict(cl, at), look: look{side: "center"}}
	})
	c.verdicts = append(c.verdicts, "verdict")
	if len(b.doc.Assessment.Job.Grades) > 0 {
		c.add("grade", b.say("column.grade"), narrow, func(cl *health.Cell, at int) cell {
			return cell{value: b.gradeName(cl.Grade), formula: inSheet(b.sheetName("grades"), b.graded.at("grade", firstRow+at-firstSummaryRow)), look: look{side: "left"}}
		})
		c.list[len(c.list)-1].side = "left"
	}
	c.centred("measured_at", b.say("column.judged_at"), 12, func(c *health.Cell, _ int) cell {
		if c.Latest < 0 || c.Latest >= len(c.Measurements) || c.Measurements[c.Latest].Row.MeasuredAt.IsZero() {
			return cell{}
		}
		return cell{value: c.Measurements[c.Latest].Row.MeasuredAt, look: look{format: dateFormat, side: "center"}}
	})
	for _, l := range b.list {
		b.limitInSummary(&c, l)
	}
	c.words("reason", b.say("column.reason_issued"), widest, func(c *health.Cell) string { return c.Reason })
	return c
}

// verdictWidth is that of a column above whose table a verdict's word stands, so that the longest one is not cut.
func (b *book) verdictWidth() float64 {
	width := 15.
	for _, v := range verdicts {
		width = max(width, float64(utf8.RuneCountInString(b.verdict(v))))
	}
	return width
}

// limitInSummary adds the value that a limit judges, its expanded uncertainty, of a growth the ends of the interval that it is decided
// on, and its verdict.
func (b *book) limitInSummary(c *summaryTable, l limit) {
	names := map[string]any{"Number": l.i + 1, "Quantity": withUnit(b.quantity(l.Quantity), l.scale)}
	place := func(key string, at int) string {
		return inSheet(b.sheetName("criteria"), b.judged.at(key, b.plan.criterion[at-firstSummaryRow]+l.i))
	}
	c.add("value "+l.name, b.say("column.limit_value", names), b.verdictWidth(), func(cl *health.Cell, at int) cell {
		k := &cl.Criteria[l.i]
		shown := estimate(k.Value, l.scale)
		if shown.value != nil {
			shown.formula = place("value", at)
			if !k.Unstated { // as many digits as what stands beside it
				shown.look.format = formatFor(k.ExpandedUncertainty, l.scale)
			}
		}
		return shown
	})
	uncertain := func(key string, of func(*health.Criterion) float64) {
		c.add(key+" "+l.name, b.say("column.limit_"+key, names), b.verdictWidth(), func(cl *health.Cell, at int) cell {
			k := &cl.Criteria[l.i]
			switch {
			case !k.Value.Known():
				return cell{}
			case k.Unstated:
				return unstated()
			}
			return cell{value: l.scale.In(of(k)), formula: place(key, at), look: look{format: formatFor(k.ExpandedUncertainty, l.scale)}}
		})
	}
	if report.IsGrowth(l.Quantity) {
		uncertain("lower", func(k *health.Criterion) float64 { return k.Lower })
		uncertain("upper", func(k *health.Criterion) float64 { return k.Upper })
	} else {
		uncertain("expanded", func(k *health.Criterion) float64 { return k.ExpandedUncertainty })
	}
	c.centred(l.name, b.say("column.limit_verdict", names), b.verdictWidth(), func(cl *health.Cell, at int) cell {
		return cell{value: b.verdict(cl.Criteria[l.i].Verdict), formula: place("verdict", at), look: look{side: "center"}}
	})
	c.verdicts = append(c.verdicts, l.name)
}

// cellVerdict is the gravest of a cell's criteria.
func (b *book) cellVerdict(c *health.Cell, at int) string {
	if len(c.Criteria) == 0 {
		return ""
	}
	first := b.plan.criterion[at-firstSummaryRow]
	place := b.judged.fixed("verdict", first) + ":" + b.judged.fixed("verdict", first+len(c.Criteria)-1)
	return b.gravest(inSheet(b.sheetName("criteria"), place))
}

// general writes a number as a cell without a format shows it.
func general(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
