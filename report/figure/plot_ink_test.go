package figure

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// inked is a canvas that keeps what is drawn: texts with their boxes, and points of all paths. It reports
// coordinates that are no numbers, and what leaves the canvas.
type inked struct {
	w, h   vg.Length
	states []inkState
	texts  []inkText
	paths  []inkPath
	faults []string
}

type inkState struct {
	a, b, c, d, e, f float64
	width            vg.Length
	colour           color.Color
}

// inkText is a text with its box from base line to the height of digits.
type inkText struct {
	text string
	box  vg.Rectangle
	at   vg.Point
	size vg.Length
}

type inkPath struct {
	box    vg.Rectangle
	filled bool
	colour color.Color
}

func newInked(f Figure) *inked {
	c := &inked{w: vg.Length(f.Width * pointsPerMM), h: vg.Length(f.Height * pointsPerMM)}
	c.states = []inkState{{a: 1, d: 1, width: 1, colour: color.Black}}
	return c
}

// drawn draws a figure and returns what it drew.
func drawn(f Figure) *inked {
	c := newInked(f)
	f.Draw(draw.New(c))
	return c
}

func (c *inked) now() *inkState                      { return &c.states[len(c.states)-1] }
func (c *inked) Size() (w, h vg.Length)              { return c.w, c.h }
func (c *inked) SetLineWidth(w vg.Length)            { c.now().width = w }
func (c *inked) SetLineDash([]vg.Length, vg.Length)  {}
func (c *inked) SetColor(k color.Color)              { c.now().colour = k }
func (c *inked) Push()                               { c.states = append(c.states, *c.now()) }
func (c *inked) Pop()                                { c.states = c.states[:len(c.states)-1] }
func (c *inked) DrawImage(vg.Rectangle, image.Image) { c.fault("an image") }
func (c *inked) Scale(x, y float64)                  { c.multiply(x, 0, 0, y, 0, 0) }
func (c *inked) Translate(p vg.Point)                { c.multiply(1, 0, 0, 1, float64(p.X), float64(p.Y)) }
func (c *inked) Rotate(t float64)                    { s, k := math.Sincos(t); c.multiply(k, s, -s, k, 0, 0) }
func (c *inked) fault(format string, arguments ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, arguments...))
}

func (c *inked) multiply(a, b, g, d, e, f float64) {
	s := *c.now()
	t := c.now()
	t.a, t.b = s.a*a+s.c*b, s.b*a+s.d*b
	t.c, t.d = s.a*g+s.c*d, s.b*g+s.d*d
	t.e, t.f = s.a*e+s.c*f+s.e, s.b*e+s.d*f+s.f
}

func (c *inked) apply(p vg.Point) vg.Point {
	s := c.now()
	x, y := float64(p.X), float64(p.Y)
	return vg.Point{X: vg.Length(s.a*x + s.c*y + s.e), Y: vg.Length(s.b*x + s.d*y + s.f)}
}

// boxOf is the box about points; it reports those that leave the canvas or are no numbers.
func (c *inked) boxOf(what string, points ...vg.Point) vg.Rectangle {
	const slack = 1
	box := vg.Rectangle{Min: vg.Point{X: math.MaxFloat64, Y: math.MaxFloat64}, Max: vg.Point{X: -math.MaxFloat64, Y: -math.MaxFloat64}}
	for _, p := range points {
		p = c.apply(p)
		if !(p.X >= -slack && p.X <= c.w+slack && p.Y >= -slack && p.Y <= c.h+slack) {
			c.fault("%s at %.1f, %.1f leaves the canvas of %.1f × %.1f", what, p.X, p.Y, c.w, c.h)
		}
		box.Min.X, box.Min.Y = min(box.Min.X, p.X), min(box.Min.Y, p.Y)
		box.Max.X, box.Max.Y = max(box.Max.X, p.X), max(box.Max.Y, p.Y)
	}
	return box
}

func (c *inked) path(p vg.Path, filled bool) {
	var points []vg.Point
	for _, k := range p {
		switch k.Type {
		case vg.ArcComp:
			r := vg.Point{X: k.Radius, Y: k.Radius}
			points = append(points, k.Pos.Add(r), k.Pos.Sub(r))
		case vg.CloseComp:
		default:
			points = append(points, k.Pos)
		}
	}
	if len(points) > 0 {
		c.paths = append(c.paths, inkPath{c.boxOf("path", points...), filled, c.now().colour})
	}
}

func (c *inked) Fill(p vg.Path) { c.path(p, true) }

func (c *inked) Stroke(p vg.Path) {
	if c.now().width > 0 {
		c.path(p, false)
	}
}

func (c *inked) FillString(f font.Face, at vg.Point, text string) {
	if text == unlabelled {
		return
	}
	w, h := f.Width(text), f.Font.Size*digitHeight
	box := c.boxOf(fmt.Sprintf("text %q", text), at, at.Add(vg.Point{X: w}), at.Add(vg.Point{Y: h}), at.Add(vg.Point{X: w, Y: h}))
	c.texts = append(c.texts, inkText{text, box, c.apply(at), f.Font.Size})
}

// find gives the texts that meet a condition.
func (c *inked) find(meets func(inkText) bool) []inkText {
	var list []inkText
	for _, t := range c.texts {
		if meets(t) {
			list = append(list, t)
		}
	}
	return list
}

// checkTidy reports what leaves the canvas and texts that overlap.
func checkTidy(t *testing.T, name string, c *inked) {
	t.Helper()
	for i, f := range c.faults {
		if i > 4 {
			break
		}
		t.Errorf("%s: %s", name, f)
	}
	if len(c.states) != 1 {
		t.Errorf("%s: %d states left", name, len(c.states))
	}
	for i, a := range c.texts {
		for _, b := range c.texts[:i] {
			if overlap(a.box, b.box) {
				t.Errorf("%s: %q at %v overlaps %q at %v", name, a.text, a.box, b.text, b.box)
			}
		}
	}
}
