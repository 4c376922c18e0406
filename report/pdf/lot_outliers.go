package pdf

import (
	"math"
	"slices"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// outliers is the table of cells that stand out, with what was measured about each.
func (c *composition) outliers(l *health.Lot) {
	t := table{columns: []column{
		{head: c.label("cell"), most: 34}, {head: c.label("lot.group"), most: 20}, {head: c.label("lot.outlying"), most: 30}, {head: c.label("lot.value"), setting: rightward},
		{head: c.label("lot.modified-z"), setting: byPoint, least: 14}, {head: c.label("lot.deviate"), setting: byPoint},
		{head: c.label("lot.own-uncertainties"), setting: byPoint, least: 12}, {head: c.label("lot.others"), stretch: 1},
	}}
	for i := range l.Quantities {
		for _, o := range l.Quantities[i].Outliers.Cells {
			t.records = append(t.records, c.outlierRecord(&l.Quantities[i], o))
		}
	}
	if len(t.records) == 0 {
		return
	}
	const most = 60
	left := len(t.records) - most
	t.records = t.records[:min(len(t.records), most)]
	c.subheading("lot.outliers")
	t.note = c.say("lot.outliers-note", struct {
		More   int
		Masked bool
		Full   []sought
	}{max(0, left), slices.ContainsFunc(l.Quantities, func(q health.LotQuantity) bool { return slices.ContainsFunc(q.Outliers.Cells, masked) }), c.full(l)})
	c.addTable(t.omit(""))
}

// sought is how many outliers of a quantity were looked for.
type sought struct {
	Quantity string
	Sought   int
}

// full are the quantities in which the test found as many outliers as it looked for.
func (c *composition) full(l *health.Lot) (list []sought) {
	for _, q := range l.Quantities {
		found := 0
		for _, o := range q.Outliers.Cells {
			if o.ByDeviate {
				found++
			}
		}
		if found > 0 && found >= q.Outliers.Sought {
			list = append(list, sought{c.symbol(q.Quantity), q.Outliers.Sought})
		}
	}
	return list
}

// masked reports whether the test counts an outlier only with one that it took later: the last step beyond its limit decides
// (Rosner, Technometrics 25 (1983) 165).
func masked(o health.Outlier) bool { return o.ByDeviate && !(o.Deviate > o.DeviateLimit) }

func (c *composition) outlierRecord(q *health.LotQuantity, o health.Outlier) []entry {
	one := func(x float64) string {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return notation.NotHad
		}
		return c.numbers.Fixed(x, 1, notation.One.Scale())
	}
	two := func(x float64) string { return c.numbers.Fixed(x, 2, notation.One.Scale()) }
	deviate := notation.NotHad
	if !math.IsNaN(o.Deviate) {
		deviate = c.say("lot.deviate-of", struct {
			Deviate, Limit string
			Beyond, Masked bool
		}{two(o.Deviate), two(o.DeviateLimit), o.Deviate > o.DeviateLimit, masked(o)})
	}
	return entries(c.literally(o.Cell), c.literally(o.Group), capitalised(c.symbol(q.Quantity)), c.valueOf(o.Value, q),
		one(o.ModifiedZ), deviate, one(o.Uncertainties), c.about(o))
}

// about is where an outlier stands in other quantities, and what was found about its measurement.
func (c *composition) about(o health.Outlier) string {
	var others []string
	for _, q := range o.Others {
		if !math.IsNaN(q.ModifiedZ) {
			others = append(others, c.say("lot.other", struct{ Quantity, Z string }{c.symbol(q.Quantity), c.numbers.Fixed(q.ModifiedZ, 1, notation.One.Scale())}))
		}
	}
	return c.say("lot.about", struct {
		Others, Findings []string
		Verdict          string
	}{others, o.Findings, c.doc.Words.Verdict(o.Verdict)})
}

// symbol is a quantity as short as tables and lists of many cells name it.
func (c *composition) symbol(q job.Quantity) string { return c.say("symbol", string(q)) }
