package figure

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// panel is one plot of several, with its head above the frame at the left, a note at the right and what its
// vertical axis shows. gonum misplaces the names of logarithmic axes, so they are written here.
type panel struct {
	plot             *plot.Plot
	head, note, axis string
}

const (
	headRoom = vg.Length(12)  // above a panel for its head
	axisRoom = vg.Length(9.5) // beside or below the numbers for an axis' name
)

// stack draws panels below each other over one horizontal axis, their data areas equal and in line.
func stack(c draw.Canvas, l lettering, horizontal string, panels []panel) []draw.Canvas {
	rows := make([][]*plot.Plot, len(panels))
	for i, p := range panels {
		rows[i] = []*plot.Plot{p.plot}
		if i < len(panels)-1 {
			hideXLabels(p.plot)
		}
	}
	inner := draw.Crop(c, axisRoom, 0, axisRoom, 0)
	var areas []draw.Canvas
	for i, row := range plot.Align(rows, draw.Tiles{Rows: len(panels), Cols: 1, PadTop: headRoom, PadY: headRoom}, inner) {
		area := panels[i].plot.DataCanvas(row[0])
		spare(&panels[i].plot.X, area.Size().X)
		spare(&panels[i].plot.Y, area.Size().Y)
		panels[i].plot.Draw(row[0])
		panels[i].write(area, l, c.Min.X)
		areas = append(areas, area)
	}
	style := l.regular(bodySize, ink)
	style.XAlign = draw.XCenter
	place(&c, style, vg.Point{X: areas[0].Center().X, Y: c.Min.Y + bodySize/2}, horizontal)
	return areas
}

// write puts head and note above the panel's frame, and the name of its axis at the left edge.
func (p panel) write(c draw.Canvas, l lettering, left vg.Length) {
	head, note := l.bold(bodySize, ink), l.regular(smallSize, quiet)
	head.YAlign, note.YAlign, note.XAlign = draw.YBottom, draw.YBottom, draw.XRight
	baseline := c.Max.Y + 3 + head.FontExtents().Descent
	c.FillText(note, vg.Point{X: c.Max.X, Y: baseline}, p.note)
	room := c.Max.X - left - note.Width(p.note) - 6
	if head.Width(capitalised(p.head)) > room {
		head = l.bold(smallSize, ink)
		head.YAlign = draw.YBottom
	}
	title := shortened(head, capitalised(p.head), room)
	begin := max(left, min(c.Min.X, left+room-head.Width(title))) // a long head begins left of the frame
	c.FillText(head, vg.Point{X: begin, Y: baseline}, title)
	axis := l.regular(bodySize, ink)
	axis.XAlign, axis.YAlign, axis.Rotation = draw.XCenter, draw.YCenter, math.Pi/2
	c.FillText(axis, vg.Point{X: left + bodySize/2 - opticalLift(axis), Y: c.Center().Y}, p.axis)
}
