package figure

import (
	"image/color"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// ribbon is the area between two lines along the horizontal axis, cut at the frame.
type ribbon struct {
	fill             color.Color
	along, low, high []float64
}

// Plot implements plot.Plotter.
func (r ribbon) Plot(c draw.Canvas, p *plot.Plot) {
	var low, high plotter.XYs
	for i, x := range r.along {
		low, high = append(low, plotter.XY{X: x, Y: r.low[i]}), append(high, plotter.XY{X: x, Y: r.high[i]})
	}
	outline := thinned(toCanvas(c, p, low))
	back := thinned(toCanvas(c, p, high))
	slices.Reverse(back)
	if area := c.ClipPolygonXY(append(outline, back...)); len(area) > 2 {
		c.FillPolygon(r.fill, area)
	}
}

// plumb is a vertical line across the frame.
type plumb struct {
	draw.LineStyle
	x float64
}

// Plot implements plot.Plotter.
func (l plumb) Plot(c draw.Canvas, p *plot.Plot) {
	for _, at := range toCanvas(c, p, plotter.XYs{{X: l.x, Y: p.Y.Min}}) {
		if c.ContainsX(at.X) {
			c.StrokeLine2(l.LineStyle, at.X, c.Min.Y, at.X, c.Max.Y)
		}
	}
}

// meeting marks on a level where a line meets it, with the interval that it may be in.
type meeting struct {
	at, low, high float64
	closed        bool // the interval ends at high; otherwise it goes on
	level         float64
}

// Plot implements plot.Plotter.
func (k meeting) Plot(c draw.Canvas, p *plot.Plot) {
	const cap = vg.Length(3)
	ends := toCanvas(c, p, plotter.XYs{{X: k.low, Y: k.level}, {X: k.high, Y: k.level}, {X: k.at, Y: k.level}})
	if len(ends) < 3 || !c.ContainsY(ends[0].Y) {
		return
	}
	c.StrokeLines(crossingLine, c.ClipLinesXY(ends[:2])...)
	for i, e := range ends[:2] {
		if c.Contains(e) && (i == 0 || k.closed) {
			c.StrokeLine2(crossingLine, e.X, e.Y-cap, e.X, e.Y+cap)
		}
	}
	if c.Contains(ends[2]) {
		crossingMark.draw(&c, ends[2])
	}
}
