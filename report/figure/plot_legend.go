package figure

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// legend explains marks and lines below a figure, outside its frame, in one row or in columns.
type legend struct {
	text    lettering
	entries []entry
}

// entry is one line of a legend: a sample drawn into a small area, and what it stands for.
type entry struct {
	sample func(c *draw.Canvas)
	label  string
}

const (
	sampleWidth  = vg.Length(18)
	legendPitch  = vg.Length(10)
	legendGap    = vg.Length(4)  // between figure and legend, and between sample and label
	columnGutter = vg.Length(12) // between columns
)

// widths are those of the entries, the gutter after each included.
func (l legend) widths() []vg.Length {
	style := l.text.regular(smallSize, ink)
	widths := make([]vg.Length, len(l.entries))
	for i, e := range l.entries {
		widths[i] = sampleWidth + legendGap + style.Width(e.label) + columnGutter
	}
	return widths
}

// places are the left edge and the row of each entry: in one row where they fit, else in equal columns.
func (l legend) places(width vg.Length) (lefts []vg.Length, rows []int) {
	widths, total, widest := l.widths(), vg.Length(0), vg.Length(1)
	for _, w := range widths {
		lefts, rows = append(lefts, total), append(rows, 0)
		total, widest = total+w, max(widest, min(w, width))
	}
	if total-columnGutter <= width {
		return lefts, rows
	}
	columns := max(int((width+columnGutter)/widest), 1)
	for i := range lefts {
		lefts[i], rows[i] = vg.Length(i%columns)*widest, i/columns
	}
	return lefts, rows
}

// height is what the legend takes in a width, the gap above it included.
func (l legend) height(width vg.Length) vg.Length {
	if len(l.entries) == 0 {
		return 0
	}
	_, rows := l.places(width)
	return vg.Length(rows[len(rows)-1]+1)*legendPitch + legendGap
}

// draw fills the bottom of c, from a left edge on for a width.
func (l legend) draw(c draw.Canvas, left, width vg.Length) {
	lefts, rows := l.places(width)
	height := l.height(width)
	style := l.text.regular(smallSize, ink)
	for i, e := range l.entries {
		x := left + lefts[i]
		y := c.Min.Y + height - legendGap - (vg.Length(rows[i])+0.5)*legendPitch
		e.sample(&draw.Canvas{Canvas: c.Canvas, Rectangle: vg.Rectangle{
			Min: vg.Point{X: x, Y: y - legendPitch/2}, Max: vg.Point{X: x + sampleWidth, Y: y + legendPitch/2},
		}})
		label := shortened(style, e.label, min(width, c.Max.X-left)-lefts[i]-sampleWidth-legendGap)
		place(&c, style, vg.Point{X: x + sampleWidth + legendGap, Y: y}, label)
	}
}
