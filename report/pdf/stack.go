package pdf

import (
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/core"
)

// item is a text in a style, with room above it in mm.
type item struct {
	text  string
	style style
	above float64
}

// stackMargin stays free right of stacked texts, in mm.
const stackMargin = 4.

// tallestStack is how high texts may be stacked in one row, in mm, before they go on in another.
const tallestStack = 96.

// pillar is a column of texts below one another.
type pillar struct {
	width mm
	items []item
}

// abreast are pillars beside one another: one row, or more where a text is long, so that a page may end
// between them.
func (c *composition) abreast(pillars ...pillar) []core.Row {
	var rows [][]core.Col
	for i, p := range pillars {
		for k, part := range c.storeys(p) {
			if k == len(rows) {
				rows = append(rows, blankColumns(pillars))
			}
			rows[k][i] = c.stack(p.width, part...)
		}
	}
	list := make([]core.Row, len(rows))
	for k, columns := range rows {
		list[k] = across(columns...)
	}
	return list
}

func blankColumns(pillars []pillar) []core.Col {
	columns := make([]core.Col, len(pillars))
	for i, p := range pillars {
		columns[i] = p.width.holding()
	}
	return columns
}

// storeys breaks the texts of a pillar into lines, and the lines into parts of which none is too high.
func (c *composition) storeys(p pillar) [][]item {
	parts, height := [][]item{nil}, 0.
	for _, it := range c.brokenUp(p) {
		height += it.above + it.style.pitch
		if height > tallestStack {
			parts, height = append(parts, nil), it.style.pitch
		}
		last := len(parts) - 1
		parts[last] = append(parts[last], it)
	}
	return parts
}

// brokenUp is a pillar with an item for each line.
func (c *composition) brokenUp(p pillar) []item {
	var lines []item
	for _, it := range p.items {
		t := it.style.props()
		for _, l := range c.provider.lines(it.text, &t, p.width.onGrid()-stackMargin) {
			lines = append(lines, item{l, it.style, it.above})
			it.above = 0
		}
	}
	return lines
}

// stack is a column with lines below one another.
func (c *composition) stack(width mm, lines ...item) core.Col {
	column := width.holding()
	y := 0.
	for _, it := range lines {
		t := it.style.props()
		y += it.above
		t.Top += y
		t.Right = stackMargin
		column.Add(text.New(it.text, t))
		y += it.style.pitch
	}
	return column
}

// paragraph sets text over the whole width.
func (c *composition) paragraph(text string, s style) { c.beside(item{}, 0, text, s) }

// holdParagraph keeps text over the whole width with what comes next.
func (c *composition) holdParagraph(text string, s style) {
	for _, part := range c.chunks(text, textWidth, s) {
		c.hold(full(s.set(part)))
	}
}

// chunk is how many lines of a long text stay together.
const chunk = 4

// beside sets text right of a margin, in which a side head may stand. Long text may go on over a page
// break, but with at least two lines on either side.
func (c *composition) beside(head item, margin mm, text string, s style) {
	for _, part := range c.chunks(text, textWidth-float64(margin), s) {
		left := margin.holding()
		if head.text != "" {
			left = c.stack(margin, c.brokenUp(pillar{margin, []item{head}})...)
		}
		c.add(across(left, mm(textWidth-margin).holding(s.set(part))))
		head = item{}
	}
}

// chunks breaks text to a width in mm and parts its lines into groups.
func (c *composition) chunks(text string, width float64, s style) []string {
	t := s.props()
	lines := c.provider.lines(text, &t, width)
	var parts []string
	for n := 0; len(lines) > 0; lines = lines[n:] {
		n = len(lines)
		if n > chunk+1 {
			n = chunk
		}
		parts = append(parts, strings.Join(lines[:n], "\n"))
	}
	return parts
}

// bullet opens the points of a list, bulletRoom mm left of their text.
const (
	bullet     = "–"
	bulletRoom = 4
)

// bullets sets a list right of a margin.
func (c *composition) bullets(head item, margin mm, texts []string, s style) {
	for _, text := range texts {
		sign := bullet
		for _, part := range c.chunks(text, textWidth-float64(margin)-bulletRoom, s) {
			left := margin.holding()
			if head.text != "" {
				left = c.stack(margin, c.brokenUp(pillar{margin, []item{head}})...)
			}
			c.add(across(left, mm(bulletRoom).holding(s.set(sign)), mm(textWidth-margin-bulletRoom).holding(s.set(part))))
			head, sign = item{}, ""
		}
	}
}
