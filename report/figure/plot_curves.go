package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// curve draws a line through points, cut at the frame.
type curve struct {
	draw.LineStyle
	points plotter.XYs
}

// Plot implements plot.Plotter.
func (l curve) Plot(c draw.Canvas, p *plot.Plot) {
	for _, piece := range c.ClipLinesXY(toCanvas(c, p, l.points)) {
		c.StrokeLines(l.LineStyle, thinned(piece))
	}
}

// finest is how far in points a line may be drawn beside where it belongs: a sixteenth of a millimetre, a fifth of the width of a
// line.
const finest = 0.17

// thinned leaves out the points of a line that lie on the line without them (Douglas and Peucker,
// Cartographica 10 (1973) 112).
func thinned(line []vg.Point) []vg.Point {
	if len(line) < 3 {
		return line
	}
	farthest, at := vg.Length(0), 0
	for i, p := range line[1 : len(line)-1] {
		if d := offLine(p, line[0], line[len(line)-1]); d > farthest {
			farthest, at = d, i+1
		}
	}
	if farthest <= finest {
		return []vg.Point{line[0], line[len(line)-1]}
	}
	return append(thinned(line[:at+1]), thinned(line[at:])[1:]...)
}

// offLine is the distance of a point from the line between two others.
func offLine(p, a, b vg.Point) vg.Length {
	along, off := b.Sub(a), p.Sub(a)
	if length := along.Dot(along); length > 0 {
		off = off.Sub(along.Scale(min(max(off.Dot(along)/length, 0), 1)))
	}
	return distance(off, vg.Point{})
}

func distance(a, b vg.Point) vg.Length {
	return vg.Length(math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)))
}

// bars draws an interval above and below each point.
type bars struct {
	draw.LineStyle
	points    plotter.XYs
	low, high []float64
}

// Plot implements plot.Plotter.
func (b bars) Plot(c draw.Canvas, p *plot.Plot) {
	const cap = vg.Length(2)
	for i, v := range b.points {
		if b.low[i] == b.high[i] {
			continue
		}
		ends := toCanvas(c, p, plotter.XYs{{X: v.X, Y: b.low[i]}, {X: v.X, Y: b.high[i]}})
		if len(ends) < 2 {
			continue
		}
		c.StrokeLines(b.LineStyle, c.ClipLinesXY(ends)...)
		for _, e := range ends {
			if c.Contains(e) {
				c.StrokeLine2(b.LineStyle, e.X-cap, e.Y, e.X+cap, e.Y)
			}
		}
	}
}

// level is a horizontal line across the frame.
type level struct {
	draw.LineStyle
	y float64
}

// Plot implements plot.Plotter.
func (l level) Plot(c draw.Canvas, p *plot.Plot) {
	for _, at := range toCanvas(c, p, plotter.XYs{{X: p.X.Min, Y: l.y}}) {
		if c.ContainsY(at.Y) {
			c.StrokeLine2(l.LineStyle, c.Min.X, at.Y, c.Max.X, at.Y)
		}
	}
}

// band is a horizontal area across the frame, filled and, where hatched, drawn over with slanted lines.
type band struct {
	low, high float64
	fill      color.Color
	hatched   color.Color
}

// Plot implements plot.Plotter.
func (b band) Plot(c draw.Canvas, p *plot.Plot) {
	ends := toCanvas(c, p, plotter.XYs{{X: p.X.Min, Y: b.low}, {X: p.X.Min, Y: b.high}})
	if len(ends) < 2 {
		return
	}
	low, high := max(min(ends[0].Y, ends[1].Y), c.Min.Y), min(max(ends[0].Y, ends[1].Y), c.Max.Y)
	if low < high {
		area := vg.Rectangle{Min: vg.Point{X: c.Min.X, Y: low}, Max: vg.Point{X: c.Max.X, Y: high}}
		fillArea(&c, area, b.fill, b.hatched)
	}
}

// fillArea fills a rectangle, with slanted lines over it where a colour for them is given.
func fillArea(c *draw.Canvas, area vg.Rectangle, fill, hatch color.Color) {
	if fill != nil {
		c.SetColor(fill)
		c.Fill(area.Path())
	}
	if hatch == nil {
		return
	}
	const apart = vg.Length(3.2)
	window := draw.Canvas{Canvas: c.Canvas, Rectangle: area}
	height := area.Max.Y - area.Min.Y
	style := draw.LineStyle{Color: hatch, Width: thin}
	for x := area.Min.X - height; x < area.Max.X; x += apart {
		line := []vg.Point{{X: x, Y: area.Min.Y}, {X: x + height, Y: area.Max.Y}}
		c.StrokeLines(style, window.ClipLinesXY(line)...)
	}
}
