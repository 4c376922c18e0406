package figure

import (
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// columns draws counts as areas between edges, of which there is one more.
type columns struct {
	edges  []float64
	counts []int
}

// Plot implements plot.Plotter.
func (k columns) Plot(c draw.Canvas, p *plot.Plot) {
	for i, n := range k.counts {
		corners := toCanvas(c, p, plotter.XYs{{X: k.edges[i], Y: 0}, {X: k.edges[i+1], Y: float64(n)}})
		if n == 0 || len(corners) < 2 {
			continue
		}
		low, high := corners[0], corners[1]
		if least := vg.Length(1.5); high.X-low.X < least { // all values are the same
			low.X, high.X = low.X-least, high.X+least
		}
		box := vg.Rectangle{Min: low, Max: vg.Point{X: high.X, Y: min(high.Y, c.Max.Y)}}
		c.SetColor(histogramFill)
		c.Fill(box.Path())
		c.SetLineStyle(histogramEdge)
		c.Stroke(box.Path())
	}
}

// plumbLabels writes texts at the top of a frame, or at its foot, beside vertical lines, on the side where there is room.
type plumbLabels struct {
	style draw.TextStyle
	area  draw.Canvas
	taken []vg.Rectangle
}

// write labels the line at a place. A line outside the frame gets an arrow towards where it would be.
func (l *plumbLabels) write(x vg.Length, text string, atFoot bool) {
	const gap = vg.Length(2.5)
	style := l.style
	style.XAlign = draw.XLeft
	switch {
	case x > l.area.Max.X+0.1:
		x, text = l.area.Max.X, text+" →"
	case x < l.area.Min.X-0.1:
		x, text = l.area.Min.X, "← "+text
	}
	wide, tall := style.Width(text), style.Font.Size*digitHeight
	for row := range 4 {
		foot := l.area.Max.Y - gap - tall - vg.Length(row)*(tall+gap)
		if atFoot {
			foot = l.area.Min.Y + gap + vg.Length(row)*(tall+gap)
		}
		for _, left := range []vg.Length{x + gap, x - gap - wide} {
			box := vg.Rectangle{Min: vg.Point{X: left, Y: foot}, Max: vg.Point{X: left + wide, Y: foot + tall}}
			if !within(box, l.area.Rectangle) || l.hits(box) {
				continue
			}
			place(&l.area, style, vg.Point{X: left, Y: centreOf(box).Y}, text)
			l.taken = append(l.taken, box)
			return
		}
	}
}

func (l *plumbLabels) hits(box vg.Rectangle) bool {
	for _, t := range l.taken {
		if overlap(box, t) {
			return true
		}
	}
	return false
}
