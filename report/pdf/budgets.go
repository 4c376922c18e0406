package pdf

import (
	"math"
	"slices"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// budgetsBeside is how many budgets one table holds side by side.
const budgetsBeside = 2

// budgets is the table of what contributes to the uncertainties of a cell's judged quantities.
func (c *composition) budgets(cell *health.Cell) {
	var had []*health.Criterion
	for i := range cell.Criteria {
		if k := &cell.Criteria[i]; k.Value.Known() && len(k.Contributions) > 0 && !twice(had, k.Quantity) {
			had = append(had, k)
		}
	}
	if len(had) == 0 {
		return
	}
	c.subheading("budget")
	for i := 0; i < len(had); i += budgetsBeside {
		end := min(len(had), i+budgetsBeside)
		t := c.budget(had[i:end])
		if end == len(had) {
			t.note = c.say("budget-note", c.ruleData())
		}
		c.addTable(t)
	}
}

// twice reports whether a quantity with two limits has its budget already.
func twice(had []*health.Criterion, q job.Quantity) bool {
	return slices.ContainsFunc(had, func(k *health.Criterion) bool { return k.Quantity == q })
}

func (c *composition) budget(group []*health.Criterion) table {
	t := table{columns: []column{{head: c.label("contribution"), least: 54}}}
	for _, k := range group {
		head := struct{ Quantity, Unit string }{c.doc.Words.Quantity(k.Quantity), c.budgetScale(k).Symbol}
		t.columns = append(t.columns,
			column{head: c.say("column.budget."+budgetKind(k), head), setting: byPoint, least: 39},
			column{head: c.label("share"), setting: byPoint, least: 12})
	}
	for _, source := range sources(group) {
		record := entries(c.literally(c.doc.Words.Contribution(source)))
		for _, k := range group {
			record = append(record, c.contribution(k, source)...)
		}
		t.records = append(t.records, record)
	}
	t.records = append(t.records, c.combined(group))
	if len(group) == 1 { // keeps it from standing far away
		t.columns = append(t.columns, column{stretch: 1})
		for i := range t.records {
			t.records[i] = append(t.records[i], entry{})
		}
	}
	return t
}

// budgetKind tells budgets of a logarithm from those of the quantity itself.
func budgetKind(k *health.Criterion) string {
	if isGrowth(k.Quantity) {
		return "growth"
	}
	return "direct"
}

func isGrowth(q job.Quantity) bool {
	return q == job.ChargeTransferGrowth || q == job.OhmicGrowth || q == job.TotalResistanceGrowth
}

// budgetScale is per cent for the logarithm of a ratio: for small values a relative uncertainty.
func (c *composition) budgetScale(k *health.Criterion) notation.Scale {
	if isGrowth(k.Quantity) {
		return notation.Percent.Scale()
	}
	u := k.Value.StandardUncertainty()
	return notation.UnitOf(k.Quantity).Scale(fit.NewValue(u, u/100))
}

// sources lists what contributes to any of the quantities, each once.
func sources(group []*health.Criterion) []string {
	var list []string
	for _, k := range group {
		for _, from := range k.Contributions {
			if !slices.Contains(list, from.Source) {
				list = append(list, from.Source)
			}
		}
	}
	return list
}

func (c *composition) contribution(k *health.Criterion, source string) []entry {
	i := slices.IndexFunc(k.Contributions, func(from health.Contribution) bool { return from.Source == source })
	if i < 0 {
		return entries(notation.NotHad, notation.NotHad)
	}
	from := k.Contributions[i]
	return entries(c.numbers.Uncertainty(from.U, c.budgetScale(k)), c.numbers.Percentage(from.Share, 1))
}

// combined is the last record: the combined standard uncertainty.
func (c *composition) combined(group []*health.Criterion) []entry {
	bold := c.sheet.table.bold()
	record := entries(c.label("combined"))
	for _, k := range group {
		record = append(record, entries(c.numbers.Uncertainty(combinedU(k), c.budgetScale(k)), c.numbers.Percentage(1, 1))...)
	}
	for i := range record {
		record[i].style = &bold
	}
	return record
}

// combinedU is the root of the sum of the variances; a share that correlation makes negative takes its
// part away (JCGM 100:2008, 5.2.2).
func combinedU(k *health.Criterion) float64 {
	sum := 0.
	for _, from := range k.Contributions {
		sum += math.Copysign(from.U*from.U, from.Share)
	}
	return math.Sqrt(max(0, sum))
}
