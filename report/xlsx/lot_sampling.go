package xlsx

import (
	"math"
	"slices"
	"strings"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// stated is a row of facts: what is stated, its value, and a note.
type stated struct {
	what  string
	value cell
	unit  string
}

// sampling is the decision about a delivery: the plan, what was found, its risks, and the operating characteristic.
func (b *book) sampling() error {
	l := b.doc.Assessment.Lot
	if l == nil || l.Sampling == nil {
		return nil
	}
	i := l.Sampling
	s := b.newSheet("sampling", []float64{46, 27, 14, 14, 13, 13, 13, 13, 13, 32}, 0)
	s.top("sampling")
	after := table(s, "sampling", firstRow, b.statedColumns(), slices.Values(b.inspected(l)))
	s.tint("B" + number(firstRow))
	s.rowOf(2*lineHeight, after, words(s.say("sampling.reason"), look{bold: true, side: "left"}), cell{value: text(i.Reason), look: look{wrap: true, side: "left"}})
	s.note(s.file.MergeCell(s.name, "B"+number(after), "I"+number(after)))
	after = s.inspectedLimits(after+3, i)
	s.characteristic(after+1, i)
	s.protect()
	return s.end()
}

func (b *book) statedColumns() *columns[stated] {
	c := newColumns[stated]()
	c.words("what", b.say("column.fact"), 46, func(f stated) string { return f.what })
	c.add("value", b.say("column.value"), 27, func(f stated, _ int) cell { return f.value })
	c.words("unit", b.say("column.unit"), 14, func(f stated) string { return f.unit })
	return c
}

// inspected are the facts of a sampling inspection. What is counted follows the verdicts.
func (b *book) inspected(l *health.Lot) (list []stated) {
	i := l.Sampling
	add := func(key string, value cell, unit string) {
		value.look.side = "right"
		list = append(list, stated{b.say("sampling." + key), value, unit})
	}
	add("decision", cell{value: b.acceptance(i.Decision), formula: b.acceptanceRule(l), look: look{bold: true}}, "")
	add("standard", cell{value: text(i.Standard)}, "")
	add("kind", cell{value: b.say("sampling." + i.Kind)}, "")
	add("level", cell{value: text(i.Level)}, "")
	add("severity", cell{value: b.say("sampling.severity." + i.Severity)}, "")
	add("lot_size", cell{value: i.LotSize}, b.say("cells"))
	add("aql", cell{value: i.AQL}, notation.Percent.Symbol)
	add("code_letter", words(i.CodeLetter, look{}), "")
	add("plan_letter", words(i.PlanLetter, look{}), "")
	add("sample_size", cell{value: i.SampleSize}, b.say("cells"))
	if i.Kind == "attributes" {
		add("acceptance", cell{value: i.Acceptance}, b.say("cells"))
		add("rejection", cell{value: i.Rejection}, b.say("cells"))
	} else {
		add("constant", number64(i.Constant, "0.000"), "1")
		add("largest_percent", number64(i.LargestPercent, "0.00"), notation.Percent.Symbol)
	}
	add("inspected", cell{value: i.Inspected}, b.say("cells"))
	add("conforming", cell{value: i.Conforming, formula: b.countVerdicts(l, health.Pass)}, b.say("cells"))
	add("nonconforming", cell{value: i.Nonconforming, formula: b.countVerdicts(l, health.Fail, health.ConditionalFail)}, b.say("cells"))
	add("doubtful", cell{value: i.Doubtful, formula: b.countVerdicts(l, health.NotEvaluated, health.ConditionalPass)}, b.say("cells"))
	if i.Kind == "attributes" {
		add("upper_percent", number64(i.UpperPercent, "0.00"), notation.Percent.Symbol)
	}
	if len(i.Curve) > 0 {
		add("law", cell{value: b.say("sampling.law." + strings.ReplaceAll(string(i.Law), " ", "-"))}, "")
		add("producers_risk", number64(100*i.ProducersRisk, "0.00"), notation.Percent.Symbol)
		add("limiting_percent", number64(i.LimitingPercent, "0.00"), notation.Percent.Symbol)
	}
	return list
}

func (b *book) acceptance(a health.Acceptance) string { return b.say("sampling.decided." + a.String()) }

// countVerdicts counts the verdicts of the cells of the lot, which reference cells are none of.
func (b *book) countVerdicts(l *health.Lot, of ...health.Verdict) string {
	var terms []string
	for _, v := range of {
		terms = append(terms, "COUNTIF("+b.summaryVerdicts()+","+quoted(b.verdict(v))+")")
	}
	const most = 20 // reference cells that a formula takes account of
	if len(l.Reference) > most {
		return ""
	}
	for i, c := range b.cells() {
		if !slices.Contains(l.Reference, c.Name) {
			continue
		}
		for _, v := range of {
			place := inSheet(b.sheetName("summary"), b.summed.fixed("verdict", firstSummaryRow+i))
			terms = append(terms, "-IF("+place+"="+quoted(b.verdict(v))+",1,0)")
		}
	}
	return strings.ReplaceAll(strings.Join(terms, "+"), "+-", "-")
}

// summaryVerdicts is the column of the cells' verdicts.
func (b *book) summaryVerdicts() string {
	return b.place("summary", b.summed.letter("verdict"), firstSummaryRow, firstSummaryRow+b.doc.Assessment.Cells.Len()-1)
}

// acceptanceRule decides by the counts as they are now, where they decided; a sample of the wrong size, or a plan by
// variables, stays as issued.
func (b *book) acceptanceRule(l *health.Lot) string {
	i := l.Sampling
	byCount := []string{"lot-accepted", "lot-rejected", "doubtful-cells-decide"}
	failed, doubtful := b.countVerdicts(l, health.Fail, health.ConditionalFail), b.countVerdicts(l, health.NotEvaluated, health.ConditionalPass)
	if i.Kind != "attributes" || failed == "" || !slices.Contains(byCount, i.Because.Code) {
		return ""
	}
	word := func(a health.Acceptance) string { return quoted(b.acceptance(a)) }
	return "IF(" + failed + ">" + number(i.Acceptance) + "," + word(health.Rejected) +
		",IF(" + failed + "+" + doubtful + ">" + number(i.Acceptance) + "," + word(health.Undecided) + "," + word(health.Accepted) + "))"
}

// inspectedLimits lists what a plan by variables found at each quantity's limits, and returns the row after.
func (s *sheet) inspectedLimits(row int, i *health.Inspection) int {
	if len(i.Limits) == 0 {
		return row - 1
	}
	c := newColumns[health.InspectedLimit]()
	c.words("quantity", s.say("column.quantity"), 42, func(l health.InspectedLimit) string { return s.quantity(l.Quantity) })
	c.words("decision", s.say("column.sampling_decided"), 30, func(l health.InspectedLimit) string { return s.acceptance(l.Decision) })
	c.words("unit", s.say("column.unit"), 15, func(l health.InspectedLimit) string { return unitOf(s.scaleOf(l.Quantity)) })
	limit := func(key string, of func(l health.InspectedLimit) float64) {
		c.figure(s.book, key, func(l health.InspectedLimit) cell { return number64(s.scaleOf(l.Quantity).In(of(l)), "") })
	}
	limit("sampling_lower", func(l health.InspectedLimit) float64 { return l.Lower })
	limit("sampling_upper", func(l health.InspectedLimit) float64 { return l.Upper })
	each := func(key, format string, of func(l health.InspectedLimit) float64) {
		c.figure(s.book, key, func(l health.InspectedLimit) cell { return number64(of(l), format) })
	}
	each("sampling_index_lower", "0.00", func(l health.InspectedLimit) float64 { return l.IndexLower })
	each("sampling_index_upper", "0.00", func(l health.InspectedLimit) float64 { return l.IndexUpper })
	each("sampling_beyond", percentFormat, func(l health.InspectedLimit) float64 { return l.PercentBeyond() / 100 })
	each("law_p", chanceFormat, func(l health.InspectedLimit) float64 { return l.Normality.P })
	c.words("reason", s.say("column.reason_issued"), wide, func(l health.InspectedLimit) string { return l.Reason })
	return table(s, "sampling_limits", row, c, slices.Values(i.Limits)) + 1
}

// finite reports whether x is a number to draw.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
