package xlsx

import (
	"math"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// Names of the cells that formulas of all sheets rest on.
const (
	nameRule         = "decision_rule"
	nameFactor       = "coverage_factor"
	nameChanged      = "changed_inputs"
	nameOhmicEnergy  = "activation_energy_ohmic"
	nameChargeEnergy = "activation_energy_charge_transfer"
	nameReference    = "reference_temperature"
	nameEndOfLife    = "end_of_life_growth"
	ruleRow          = 3
	factorRow        = 4
	changedRow       = 5
	inputColumn      = "D"
	issuedColumn     = "F"
	correctionsBelow = 2 // rows between the limits and what else is in force
	correctionRows   = 4 // of that
	gradesBelow      = 3 // rows between that and the first limit of a grade: a blank one, title and head
	smallestFactor   = 0.1
	largestFactor    = 10.0
	largestLimit     = 1e9
)

// limit is a row of the table of limits.
type limit struct {
	job.Limit
	i     int
	name  string
	scale notation.Scale
}

// numbered gives every limit a name of its own.
func (b *book) numbered() []limit {
	list := make([]limit, len(b.doc.Assessment.Job.Limits))
	seen := map[string]int{}
	for i, l := range b.doc.Assessment.Job.Limits {
		name := "limit_" + string(l.Quantity) + "_" + string(l.Side)
		if seen[name]++; seen[name] > 1 {
			name += "_" + number(seen[name])
		}
		list[i] = limit{l, i, name, b.scaleOf(l.Quantity)}
	}
	return list
}

// scaleOf is the scale of a quantity throughout the workbook.
func (b *book) scaleOf(q job.Quantity) notation.Scale {
	if unit := notation.UnitOf(q); unit != notation.Ohm {
		return unit.Scale()
	}
	return b.plan.resistance
}

func (b *book) limits() error {
	columns := b.limitColumns()
	s := b.newSheet("limits", widths(columns), 0)
	s.top("limits")
	s.decision()
	list := b.list
	after := table(s, "limits", firstLimitRow, columns, slices.Values(list))
	s.corrections(after+correctionsBelow, list)
	s.gradeTables()
	for _, l := range list {
		s.nameCell(l.name, inputColumn, b.plan.limit[l.i])
	}
	s.inputs(after - 1)
	s.protect()
	return s.end()
}

// nameCell gives a cell of the sheet a name.
func (s *sheet) nameCell(name, column string, row int) {
	s.note(s.file.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: inSheet(s.name, "$"+column+"$"+number(row))}))
}

// decision writes the inputs beside the limits: rule and coverage factor, as they are and as issued.
func (s *sheet) decision() {
	rule := s.doc.Assessment.Job.DecisionRule
	input, issued := look{input: true, side: "right"}, look{muted: true, side: "right"}
	s.labelled(ruleRow, s.say("decision_rule"), cell{value: string(rule.Kind), look: input}, cell{value: string(rule.Kind), look: issued})
	s.labelled(factorRow, s.say("coverage_factor"), cell{value: rule.CoverageFactor, look: input}, cell{value: rule.CoverageFactor, look: issued})
	s.labelled(changedRow, s.say("changed_inputs"), cell{value: 0, formula: s.changed(), look: look{bold: true}}, cell{})
	s.nameCell(nameRule, inputColumn, ruleRow)
	s.nameCell(nameFactor, inputColumn, factorRow)
	s.nameCell(nameChanged, inputColumn, changedRow)
}

// labelled writes a label, a value in the column of inputs, and one in the column of what was issued.
func (s *sheet) labelled(row int, label string, value, issued cell) {
	s.row(row, cell{}, words(label, look{bold: true, side: "left"}), cell{}, value, cell{}, issued)
}

// changed counts the inputs that differ from the report as issued.
func (s *sheet) changed() string {
	rows := []int{ruleRow, factorRow}
	rows = append(rows, s.plan.limit...)
	for _, a := range s.asks {
		rows = append(rows, a.row)
	}
	const most = 250 // terms that a formula has room for
	if len(rows) > most {
		return differ(ruleRow, factorRow) + "+" + differ(firstLimitRow, rows[len(rows)-1])
	}
	terms := make([]string, len(rows))
	for i, row := range rows {
		terms[i] = "IF(" + inputColumn + number(row) + "=" + issuedColumn + number(row) + ",0,1)"
	}
	return strings.Join(terms, "+")
}

// differ counts the rows whose input is a number or a word other than what was issued. Between the tables are rows with
// neither, or with a value that cannot be changed.
func differ(first, last int) string {
	column := func(letter string) string { return letter + number(first) + ":" + letter + number(last) }
	return "SUMPRODUCT(--(" + column(issuedColumn) + "<>\"\"),--(" + column(inputColumn) + "<>" + column(issuedColumn) + "))"
}

func (b *book) limitColumns() *columns[limit] {
	c := newColumns[limit]()
	c.add("no", b.say("column.number"), gradeWidth, func(l limit, _ int) cell { return cell{value: l.i + 1, look: look{side: "left"}} })
	c.list[0].side = "left"
	boundColumns(b, c, func(l limit) limit { return l })
	for i := len(verdicts) - 1; i >= 0; i-- {
		v := verdicts[i]
		c.add("count "+v.String(), b.verdict(v), middling, func(l limit, at int) cell {
			n := 0
			if l.i < len(b.plan.verdicts) {
				n = b.plan.verdicts[l.i][v]
			}
			return cell{value: n, formula: b.countOf(at, b.verdict(v))}
		})
	}
	return c
}

// gradeWidth is that of the first column, which holds the names of grades too.
const gradeWidth = 12

// boundColumns are a limit as an input, and as issued.
func boundColumns[T any](b *book, c *columns[T], of func(T) limit) {
	c.words("quantity", b.say("column.quantity"), 46, func(r T) string { return b.quantity(of(r).Quantity) })
	c.words("side", b.say("column.side"), sideWidth, func(r T) string { return b.side(of(r).Side) })
	c.add("limit", b.say("column.limit"), middling, func(r T, _ int) cell { l := of(r); return cell{value: l.scale.In(l.Bound), look: look{input: true}} })
	c.words("unit", b.say("column.unit"), narrow, func(r T) string { return unitOf(of(r).scale) })
	c.add("issued", b.say("column.issued"), middling, func(r T, _ int) cell { l := of(r); return cell{value: l.scale.In(l.Bound), look: look{muted: true}} })
	c.words("name", b.say("column.name"), 36, func(r T) string { return of(r).name })
}

// unitOf is a unit's symbol, 1 for ratios.
func unitOf(s notation.Scale) string {
	if s.Symbol == "" {
		return "1"
	}
	return s.Symbol
}

// corrections writes what growths are computed with but is no input, since uncertainties hang on it too.
func (s *sheet) corrections(row int, list []limit) {
	t, c := s.doc.Assessment.Temperature, s.doc.Assessment.Job.Conditions
	rows := []struct {
		key, name, unit string
		value           cell
	}{
		{"activation_ohmic", nameOhmicEnergy, notation.KilojouleMole.Symbol, cell{value: orNought(t.Ohmic.Estimate())}},
		{"activation_charge_transfer", nameChargeEnergy, notation.KilojouleMole.Symbol, cell{value: orNought(t.ChargeTransfer.Estimate())}},
		{"reference_temperature", nameReference, notation.Celsius.Symbol, cell{value: c.ReferenceTemperatureC}},
		{"end_of_life", nameEndOfLife, "1", endOfLife(list)},
	}
	for i, r := range rows {
		s.row(row+i, cell{}, words(s.say(r.key), look{side: "left"}), cell{}, r.value, words(r.unit, look{side: "left"}))
		s.nameCell(r.name, inputColumn, row+i)
	}
}

// orNought is x, or 0 where there is none: no correction.
func orNought(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}

// endOfLife is the growth that ends a cell's life: the strictest upper limit of the charge-transfer
// growth; blank where there is none.
func endOfLife(list []limit) cell {
	var places []string
	end := math.Inf(1)
	for _, l := range list {
		if l.Quantity == job.ChargeTransferGrowth && l.Side == job.Max {
			places = append(places, l.name)
			end = min(end, l.Bound)
		}
	}
	const most = 100 // that a formula has room for
	switch {
	case len(places) == 0:
		return cell{}
	case len(places) > most:
		return cell{value: end}
	}
	return cell{value: end, formula: "MIN(" + strings.Join(places, ",") + ")"}
}

// inputs restricts what can be put in: a rule by its name, numbers within reason.
func (s *sheet) inputs(lastLimit int) {
	rules := excelize.NewDataValidation(false)
	rules.SetSqref(inputColumn + number(ruleRow))
	s.note(rules.SetDropList([]string{string(job.Simple), string(job.Guarded), string(job.FourWay)}))
	s.note(s.file.AddDataValidation(s.name, rules))
	s.between(inputColumn+number(factorRow), smallestFactor, largestFactor)
	if lastLimit >= firstLimitRow {
		s.between(inputColumn+number(firstLimitRow)+":"+inputColumn+number(lastLimit), -largestLimit, largestLimit)
	}
	if n := len(s.asks); n > 0 {
		s.between(inputColumn+number(s.asks[0].row)+":"+inputColumn+number(s.asks[n-1].row), -largestLimit, largestLimit)
	}
}

func (s *sheet) between(place string, low, high float64) {
	v := excelize.NewDataValidation(false)
	v.SetSqref(place)
	s.note(v.SetRange(low, high, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween))
	s.note(s.file.AddDataValidation(s.name, v))
}
