package xlsx

import (
	"iter"
	"math"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// judged is a row of the criteria: one quantity of one cell against one limit.
type judged struct {
	*health.Criterion
	cell  *health.Cell
	i     int // of the cell
	limit limit
}

// had reports whether there is a value to decide on.
func (j judged) had() bool { return j.Value.Known() }

// sign turns a lower limit into an upper one.
func (j judged) sign() float64 {
	if j.Side == job.Min {
		return -1
	}
	return 1
}

func (b *book) judgements() iter.Seq[judged] {
	limits := b.list
	return func(yield func(judged) bool) {
		for i, cell := range b.doc.Assessment.Cells.All() {
			for k := range cell.Criteria {
				if !yield(judged{&cell.Criteria[k], cell, i, limits[k]}) {
					return
				}
			}
		}
	}
}

func (b *book) criteria() error {
	s := b.newSheet("criteria", widths(b.judged), firstRow)
	s.top("criteria")
	end := table(s, "criteria", firstRow, b.judged, b.judgements())
	s.tint(b.judged.at("verdict", firstRow) + ":" + b.judged.at("verdict", end))
	s.tint(b.judged.at("issued", firstRow) + ":" + b.judged.at("issued", end))
	s.protect()
	return s.end()
}

func (b *book) criterionColumns() *columns[judged] {
	c := newColumns[judged]()
	c.words("cell", b.say("column.cell"), b.plan.cellWidth, func(j judged) string { return j.cell.Name })
	c.add("no", b.say("column.number"), 6, func(j judged, _ int) cell { return cell{value: j.limit.i + 1} })
	c.words("quantity", b.say("column.quantity"), 42, func(j judged) string { return b.quantity(j.Quantity) })
	c.add("value", b.say("column.value"), middling, b.criterionValue)
	c.add("u", b.say("column.u"), middling, b.criterionUncertainty)
	c.words("unit", b.say("column.unit"), narrow, func(j judged) string { return unitOf(j.limit.scale) })
	c.words("side", b.say("column.side"), sideWidth, func(j judged) string { return b.side(j.Side) })
	c.add("limit", b.say("column.limit"), middling, func(j judged, _ int) cell {
		return cell{value: j.limit.scale.In(j.Limit), formula: j.limit.name}
	})
	b.decisionColumns(c)
	c.centred("verdict", b.say("column.verdict"), 17, func(j judged, at int) cell {
		return cell{value: b.verdict(j.Verdict), formula: b.verdictFormula(at), look: look{side: "center"}}
	})
	c.centred("issued", b.say("column.verdict_issued"), 17, func(j judged, _ int) cell {
		return cell{value: b.verdict(j.Verdict), look: look{side: "center", muted: true}}
	})
	c.words("reason", b.say("column.reason_issued"), widest, func(j judged) string { return j.Reason })
	return c
}

// decisionColumns are the steps from a value to its verdict. A growth is decided on its logarithm: margin
// and guard band are then differences of logarithms.
func (b *book) decisionColumns(c *columns[judged]) {
	step := func(key string, width float64, value func(judged) float64, formula func(j judged, at int) string, show func(j judged) string) {
		c.add(key, b.say("column."+key), width, func(j judged, at int) cell {
			switch {
			case !j.had():
				return cell{}
			case j.Unstated && fromUncertainty[key]:
				return unstated()
			case j.Unstated && key == "guard":
				return cell{value: 0}
			}
			return cell{value: value(j), formula: guarded(j, formula(j, at)), look: look{format: show(j)}}
		})
	}
	inUnit := func(x func(judged) float64) func(judged) float64 {
		return func(j judged) float64 { return j.limit.scale.In(x(j)) }
	}
	digits := func(j judged) string { return formatFor(j.ExpandedUncertainty, j.limit.scale) }
	step("expanded", middling, inUnit(func(j judged) float64 { return j.ExpandedUncertainty }), b.expandedFormula, digits)
	step("lower", middling, inUnit(func(j judged) float64 { return j.Lower }), b.end("-"), digits)
	step("upper", middling, inUnit(func(j judged) float64 { return j.Upper }), b.end("+"), digits)
	c.words("scale", b.say("column.scale"), middling, func(j judged) string { return b.say("scale." + scaleName(j)) })
	step("margin", middling, b.margin, b.marginFormula, b.marginDigits)
	step("guard", middling, b.guard, b.guardFormula, b.marginDigits)
	step("acceptance", middling, inUnit(func(j judged) float64 { return j.AcceptanceLimit }), b.acceptanceFormula, digits)
	step("probability", middling, func(j judged) float64 { return j.ProbabilityOfConformity }, b.probabilityFormula, func(judged) string { return percentFormat })
}

// fromUncertainty are the steps that there are none of where nobody states an uncertainty.
var fromUncertainty = map[string]bool{"expanded": true, "lower": true, "upper": true, "probability": true}

// guarded leaves a step blank where a changed limit takes the value away: a state of health needs a life to measure.
func guarded(j judged, formula string) string {
	if j.Quantity == job.ResistanceStateOfHealth {
		return "IFERROR(" + formula + `,"")`
	}
	return formula
}

func scaleName(j judged) string {
	if report.IsGrowth(j.Quantity) {
		return "logarithm"
	}
	return "value"
}

// criterionValue refers to the judged measurement's row of the results.
func (b *book) criterionValue(j judged, _ int) cell {
	shown := estimate(j.Value, j.limit.scale)
	if place, ok := b.resultPlace(j, ""); ok {
		shown.formula = place
	}
	return shown
}

func (b *book) criterionUncertainty(j judged, _ int) cell {
	if j.Unstated {
		return unstated()
	}
	shown := uncertainty(j.Value, j.limit.scale)
	if place, ok := b.resultPlace(j, "u "); ok {
		shown.formula = place
	}
	return shown
}

// resultPlace is where the results hold a criterion's value, if they hold just that.
func (b *book) resultPlace(j judged, prefix string) (string, bool) {
	return b.placeOf(j.cell, j.i, j.Quantity, j.Value, prefix)
}

// placeOf is where the results hold a value of the i-th cell's judged measurement, if they hold just that.
func (b *book) placeOf(c *health.Cell, i int, q job.Quantity, v fit.Value, prefix string) (string, bool) {
	k, key := c.Latest, string(q)
	if !v.Known() || k < 0 || k >= len(c.Measurements) || prefix != "" && q == job.CapacityRetention {
		return "", false
	}
	m, at := &c.Measurements[k], b.plan.result[i][k]
	switch {
	case q == job.CapacityAh && (prefix != "" || m.Row.CapacityAh == nil || *m.Row.CapacityAh != v.Estimate()):
		return "", false
	case q == job.CapacityAh:
		key = "capacity"
	case report.Measured(m, q) != v:
		return "", false
	}
	return inSheet(b.sheetName("results"), b.measured.at(prefix+key, at)), true
}

// standard is the standard uncertainty on the scale of the decision.
func (b *book) standard(j judged) float64 {
	if report.IsGrowth(j.Quantity) {
		return j.Value.Relative()
	}
	return j.limit.scale.In(j.Value.StandardUncertainty())
}

func (b *book) margin(j judged) float64 {
	if report.IsGrowth(j.Quantity) {
		return j.sign() * (math.Log(j.Limit) - math.Log(j.Value.Estimate()))
	}
	return j.sign() * (j.limit.scale.In(j.Limit) - j.limit.scale.In(j.Value.Estimate()))
}

func (b *book) guard(j judged) float64 {
	rule := b.doc.Assessment.Job.DecisionRule
	if rule.Kind == job.Simple || j.Unstated {
		return 0
	}
	return rule.CoverageFactor * b.standard(j)
}

func (b *book) marginDigits(j judged) string { return formatFor(b.standard(j), notation.Scale{}) }
