package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// shape is the form of a mark. All have equal area, so that none looks heavier than another.
type shape int

const (
	disc shape = iota
	square
	triangle
	diamond
	wedge // a triangle on its point
	plus
	pentagon
	star
	shapeCount
	cross
)

// outline is a shape's polygon for a radius of 1 and its area over that of the disc. The disc has none.
func (s shape) outline() []vg.Point {
	switch s {
	case square:
		return regularPolygon(4, math.Pi/4)
	case diamond:
		return regularPolygon(4, 0)
	case triangle:
		return regularPolygon(3, math.Pi/2)
	case wedge:
		return regularPolygon(3, -math.Pi/2)
	case pentagon:
		return regularPolygon(5, math.Pi/2)
	case plus:
		return plusPolygon(0)
	case cross:
		return plusPolygon(math.Pi / 4)
	case star:
		return starPolygon()
	}
	return nil
}

func corner(r, angle float64) vg.Point {
	return vg.Point{X: vg.Length(r * math.Cos(angle)), Y: vg.Length(r * math.Sin(angle))}
}

// regularPolygon has the area of the unit circle: n/2·r² sin(2π/n) = π.
func regularPolygon(n int, start float64) []vg.Point {
	r := math.Sqrt(2 * math.Pi / float64(n) / math.Sin(2*math.Pi/float64(n)))
	corners := make([]vg.Point, n)
	for i := range corners {
		corners[i] = corner(r, start+2*math.Pi*float64(i)/float64(n))
	}
	return corners
}

// plusPolygon is a cross of equal arms, lighter than the other marks.
func plusPolygon(turn float64) []vg.Point {
	const arm, half = 1.45, 0.32
	var corners []vg.Point
	for i := range 4 {
		for _, p := range [][2]float64{{arm, -half}, {arm, half}, {half, half}} {
			corners = append(corners, corner(math.Hypot(p[0], p[1]), math.Atan2(p[1], p[0])+turn+float64(i)*math.Pi/2))
		}
	}
	return corners
}

func starPolygon() []vg.Point {
	corners := make([]vg.Point, 8)
	for i := range corners {
		corners[i] = corner([]float64{1.75, 0.72}[i%2], float64(i)*math.Pi/4)
	}
	return corners
}

// path of a shape of a radius about a point.
func (s shape) path(at vg.Point, r vg.Length) vg.Path {
	var p vg.Path
	corners := s.outline()
	if corners == nil {
		p.Move(vg.Point{X: at.X + r, Y: at.Y})
		p.Arc(at, r, 0, 2*math.Pi)
		p.Close()
		return p
	}
	for i, k := range corners {
		k = at.Add(k.Scale(r))
		if i == 0 {
			p.Move(k)
			continue
		}
		p.Line(k)
	}
	p.Close()
	return p
}

// mark is how a measured point is drawn: filled, or open where it did not count.
type mark struct {
	shape  shape
	radius vg.Length
	colour color.NRGBA
	open   bool
}

func (m mark) draw(c *draw.Canvas, at vg.Point) {
	if !m.open {
		c.SetColor(m.colour)
		c.Fill(m.shape.path(at, m.radius))
		return
	}
	outline := m.shape.path(at, m.radius)
	c.SetColor(paper)
	c.Fill(outline)
	c.SetLineStyle(draw.LineStyle{Color: m.colour, Width: axis})
	c.Stroke(outline)
}

// opened is the same mark for a point that did not count.
func (m mark) opened() mark { m.open = true; return m }

// marks draws points, those inside the frame.
type marks struct {
	mark
	points plotter.XYs
}

// Plot implements plot.Plotter.
func (m marks) Plot(c draw.Canvas, p *plot.Plot) {
	for _, at := range toCanvas(c, p, m.points) {
		if c.Contains(at) {
			m.draw(&c, at)
		}
	}
}

// toCanvas gives the places of the points that can be drawn.
func toCanvas(c draw.Canvas, p *plot.Plot, points plotter.XYs) []vg.Point {
	x, y := p.Transforms(&c)
	places := make([]vg.Point, 0, len(points))
	for _, v := range points {
		if drawable(v.X) && drawable(v.Y) && onScale(p.X, v.X) && onScale(p.Y, v.Y) {
			places = append(places, vg.Point{X: near(x(v.X)), Y: near(y(v.Y))})
		}
	}
	return places
}

// near is a place moved to within some hundred metres of the drawing: lines to farther ones could not be cut at
// the frame without loss of digits.
func near(v vg.Length) vg.Length {
	const far = 1e6
	return min(max(v, -far), far)
}

// onScale reports whether an axis can show a number at all: gonum panics at a logarithm of zero.
func onScale(a plot.Axis, v float64) bool {
	_, logarithmic := a.Scale.(plot.LogScale)
	return !logarithmic || v > 0
}
