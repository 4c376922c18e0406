package pdf

import (
	"slices"
	"strings"

	"ohmledger/health"
)

// mostRemarks is how many remarks on a cell's measurements its section quotes.
const mostRemarks = 8

// remark is what a bench noted beside measurements.
type remark struct{ On, Text string }

// remarks quotes what was noted beside a cell's measurements, the same of several days once.
func (c *composition) remarks(cell *health.Cell) {
	list := c.remarksOn(cell)
	if len(list) == 0 {
		return
	}
	shown := list[:min(len(list), mostRemarks)]
	c.paragraph(c.say("remarks", struct {
		Remarks []remark
		More    int
	}{shown, len(list) - len(shown)}), c.sheet.note)
}

func (c *composition) remarksOn(cell *health.Cell) (list []remark) {
	var days [][]string
	for i := range cell.Measurements {
		row := cell.Measurements[i].Row
		text, day := c.literally(strings.TrimRight(strings.TrimSpace(row.Remarks), ".")), c.numbers.Date(row.MeasuredAt)
		if text == "" {
			continue
		}
		at := slices.IndexFunc(list, func(r remark) bool { return r.Text == text })
		if at < 0 {
			at, list, days = len(list), append(list, remark{Text: text}), append(days, nil)
		}
		days[at] = append(days[at], day)
	}
	for i := range list {
		list[i].On = c.some(slices.Compact(days[i]))
	}
	return list
}

// The front page quotes mostNoted remarks to longestRemark characters, so that each takes a line.
const (
	mostNoted     = 6
	longestRemark = 95
)

// noted is a remark of a bench with the cells beside whose judged measurement it stands.
type noted struct {
	Text   string
	Names  []string
	passed bool // all of these cells
}

// benchRemarks quotes on the first page what a bench noted of the judged measurements: a warm can, a deposit. Those of cells that did
// not pass come first.
func (c *composition) benchRemarks() {
	list := notedOn(c.doc.Assessment.Cells)
	slices.SortStableFunc(list, func(a, b noted) int {
		switch {
		case a.passed == b.passed:
			return 0
		case a.passed:
			return 1
		}
		return -1
	})
	var points []string
	for _, n := range list[:min(len(list), mostNoted)] {
		points = append(points, c.say("bench-remark", struct{ Cells, Text string }{c.named(n.Names), c.literally(cut(n.Text, longestRemark))}))
	}
	if len(list) > mostNoted {
		points = append(points, c.say("bench-remarks.more", len(list)-mostNoted))
	}
	c.space(module / 2)
	c.bullets(item{c.label("bench-remarks"), c.sheet.sideHead, 0}, sideHead, points, c.sheet.note)
}

// notedOn gathers the remarks on the judged measurements of cells, or on the last of one where none is judged. What stands beside most
// of several cells is no news of any.
func notedOn(cells health.Cells) (list []noted) {
	for _, cell := range cells.All() {
		text := remarkOn(cell)
		if text == "" {
			continue
		}
		at := slices.IndexFunc(list, func(n noted) bool { return n.Text == text })
		if at < 0 {
			at, list = len(list), append(list, noted{Text: text, passed: true})
		}
		list[at].Names = append(list[at].Names, cell.Name)
		list[at].passed = list[at].passed && cell.Verdict == health.Pass
	}
	return slices.DeleteFunc(list, func(n noted) bool { return len(n.Names) > 1 && 2*len(n.Names) > cells.Len() })
}

func remarkOn(cell *health.Cell) string {
	m := latest(cell)
	if n := len(cell.Measurements); m == nil && n > 0 {
		m = &cell.Measurements[n-1]
	}
	if m == nil {
		return ""
	}
	return strings.TrimRight(strings.TrimSpace(m.Row.Remarks), ".")
}
