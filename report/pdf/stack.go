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

// stack is a column with texts below one another.
func (c *composition) stack(width mm, items ...item) core.Col {
	column := width.holding()
	y := 0.
	for _, it := range items {
		t := it.style.props()
		lines := c.provider.GetLinesQuantity(it.text, &t, float64(width)-stackMargin)
		y += it.above
		t.Top += y
		t.Right = stackMargin
		column.Add(text.New(it.text, t))
		y += float64(lines) * it.style.pitch
	}
	return column
}

// paragraph sets text over the whole width.
func (c *composition) paragraph(text string, s style) { c.beside(item{}, 0, text, s) }

// chunk is how many lines of a long text stay together.
const chunk = 4

// beside sets text right of a margin, in which a side head may stand. Long text may go on over a page
// break, but with at least two lines on either side.
func (c *composition) beside(head item, margin mm, text string, s style) {
	for _, part := range c.chunks(text, textWidth-float64(margin), s) {
		left := margin.holding()
		if head.text != "" {
			left = c.stack(margin, head)
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
				left = c.stack(margin, head)
			}
			c.add(across(left, mm(bulletRoom).holding(s.set(sign)), mm(textWidth-margin-bulletRoom).holding(s.set(part))))
			head, sign = item{}, ""
		}
	}
}
