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
