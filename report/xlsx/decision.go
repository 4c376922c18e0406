package xlsx

import (
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// Formulas of the decision (JCGM 106:2012; ILAC-G8:09/2019). They say the same as package health does, in
// the workbook's own cells, so that they follow when a limit, the coverage factor or the rule is changed.

func (b *book) expandedFormula(_ judged, at int) string {
	return nameFactor + "*" + b.judged.at("u", at)
}

// end of the coverage interval: even about a value, or about its logarithm.
func (b *book) end(sign string) func(judged, int) string {
	return func(j judged, at int) string {
		value, u := b.judged.at("value", at), b.judged.at("u", at)
		if report.IsGrowth(j.Quantity) {
			return value + "*EXP(" + sign + nameFactor + "*" + u + "/" + value + ")"
		}
		return value + sign + nameFactor + "*" + u
	}
}

// marginFormula is by how much the value is on the right side of the limit; blank where a growth is held
// against a limit that has no logarithm.
func (b *book) marginFormula(j judged, at int) string {
	limit, value := b.judged.at("limit", at), b.judged.at("value", at)
	first, second := limit, value
	if j.Side == job.Min {
		first, second = second, first
	}
	if report.IsGrowth(j.Quantity) {
		return "IF(" + limit + ">0,LN(" + first + ")-LN(" + second + `),"")`
	}
	return first + "-" + second
}

// standardFormula is the standard uncertainty on the scale of the decision.
func (b *book) standardFormula(j judged, at int) string {
	if report.IsGrowth(j.Quantity) {
		return b.judged.at("u", at) + "/" + b.judged.at("value", at)
	}
	return b.judged.at("u", at)
}

func (b *book) guardFormula(j judged, at int) string {
	return "IF(" + nameRule + "=" + quoted(string(job.Simple)) + ",0," + nameFactor + "*" + b.standardFormula(j, at) + ")"
}

// acceptanceFormula is the limit moved inward by the guard band.
func (b *book) acceptanceFormula(j judged, at int) string {
	limit, guard, inward := b.judged.at("limit", at), b.judged.at("guard", at), "-"
	if j.Side == job.Min {
		inward = "+"
	}
	if report.IsGrowth(j.Quantity) {
		return limit + "*EXP(" + inward + guard + ")"
	}
	return limit + inward + guard
}

// probabilityFormula is that of conformity for a normal distribution about the estimate (JCGM 106:2012, 7.3).
func (b *book) probabilityFormula(j judged, at int) string {
	margin, u := b.judged.at("margin", at), b.judged.at("u", at)
	return "IF(ISNUMBER(" + margin + "),IF(" + u + "=0,IF(" + margin + ">=0,1,0),NORMSDIST(" + margin + "/(" + b.standardFormula(j, at) + `))),"")`
}

// verdictFormula decides by margin and guard band; without a margin nothing is decided.
func (b *book) verdictFormula(at int) string {
	margin, guard := b.judged.at("margin", at), b.judged.at("guard", at)
	word := func(v health.Verdict) string { return quoted(b.verdict(v)) }
	return "IF(ISNUMBER(" + margin + "),IF(" + margin + ">=" + guard + "," + word(health.Pass) +
		",IF(" + nameRule + "<>" + quoted(string(job.FourWay)) + "," + word(health.Fail) +
		",IF(" + margin + ">=0," + word(health.ConditionalPass) +
		",IF(" + margin + ">=-" + guard + "," + word(health.ConditionalFail) + "," + word(health.Fail) + "))))," + word(health.NotEvaluated) + ")"
}

// countOf counts the verdicts of the limit in a row of the limits.
func (b *book) countOf(row int, verdict string) string {
	if b.plan.criteria == firstRow {
		return ""
	}
	sheet := b.sheetName("criteria")
	column := func(key string) string {
		return inSheet(sheet, b.judged.fixed(key, firstRow)+":"+b.judged.fixed(key, b.plan.criteria-1))
	}
	return "COUNTIFS(" + column("no") + ",$A" + number(row) + "," + column("verdict") + "," + quoted(verdict) + ")"
}
