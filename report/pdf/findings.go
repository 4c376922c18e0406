package pdf

import (
	"cmp"
	"slices"

	"ohmledger/health"
)

// seen is a finding with the measurements that it was made about.
type seen struct {
	health.Finding
	dates []string
}

// findings is the table of what the checks of a cell's spectra found, gravest first. What to do about it stands
// with the findings of all cells, where there is more than one.
func (c *composition) findings(cell *health.Cell) {
	t := table{columns: []column{
		{head: c.label("severity")},
		{head: c.label("measured-on"), most: 34},
		{head: c.label("seen"), stretch: 2},
		{head: c.label("advice"), stretch: 1},
	}}
	plain := c.sheet.small.in(c.sheet.colours.ink)
	bold := plain.bold()
	for _, f := range c.seen(cell) {
		t.records = append(t.records, []entry{
			{text: c.doc.Words.Say("severity."+f.Severity.String(), nil), style: &bold},
			{text: c.measuredOn(f.dates, len(cell.Measurements)), style: &plain},
			{text: c.literally(f.Message), style: &plain}, {text: c.adviceOn(f.Finding), style: &plain},
		})
	}
	if c.several() {
		t.blank(len(t.columns) - 1)
		t.note = c.say("findings-note", nil)
	}
	if len(t.records) > 0 {
		c.subheading("findings")
		c.addTable(t.omit(""))
	}
	c.byHand(cell)
}

// measuredOn says about which of a cell's measurements a finding was made.
func (c *composition) measuredOn(dates []string, all int) string {
	n := len(dates)
	return c.say("measured-on", struct {
		Count, All  int
		First, Last string
	}{n, all, dates[0], dates[n-1]})
}

// seen gathers equal findings of several measurements; the message is the latest one.
func (c *composition) seen(cell *health.Cell) []seen {
	var list []seen
	for i := range cell.Measurements {
		m := &cell.Measurements[i]
		day := c.numbers.Date(m.Row.MeasuredAt)
		for _, f := range m.Quality.Findings {
			at := slices.IndexFunc(list, func(s seen) bool { return s.Code == f.Code && s.Severity == f.Severity })
			if at < 0 {
				list = append(list, seen{f, []string{day}})
				continue
			}
			list[at].Finding = f
			list[at].dates = append(list[at].dates, day)
		}
	}
	slices.SortStableFunc(list, func(a, b seen) int { return cmp.Compare(b.Severity, a.Severity) })
	return list
}

// byHand prints why rejected spectra were accepted after all: a deviation that the reader must know.
func (c *composition) byHand(cell *health.Cell) {
	for i := range cell.Measurements {
		m := &cell.Measurements[i]
		if m.Quality.AcceptedByHand != "" {
			c.space(module / 2)
			c.paragraph(c.say("by-hand", struct{ Date, Reason string }{
				c.numbers.Date(m.Row.MeasuredAt), c.literally(m.Quality.AcceptedByHand),
			}), c.sheet.note)
		}
	}
}

// subheading is held for what comes next.
func (c *composition) subheading(name string) {
	c.space(2 * module)
	c.hold(full(c.sheet.subheading.set(c.label(name))))
}
