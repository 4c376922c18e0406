package figure

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// symbol is the sign of a circuit element: rectangle and coil as in IEC 60617, and for what that standard has
// no sign for, a square box with the element's name in it.
type symbol int

const (
	resistance symbol = iota
	coil
	box
)

// circuitPen draws a circuit from left to right.
type circuitPen struct {
	c    draw.Canvas
	text lettering
	unit vg.Length // width of one element
	at   vg.Point  // end of the wire
}

const (
	wireWidth    = vg.Length(0.8)
	symbolHeight = vg.Length(9)
	branchOffset = vg.Length(15) // of parallel branches from the middle
	lineSpacing  = vg.Length(8)  // of text
)

func wireStyle() draw.LineStyle { return draw.LineStyle{Color: ink, Width: wireWidth} }

func (p *circuitPen) terminal(at vg.Point) {
	mark{shape: disc, radius: 2, colour: ink, open: true}.draw(&p.c, at)
}

func (p *circuitPen) line(to vg.Point) {
	p.c.StrokeLines(wireStyle(), []vg.Point{p.at, to})
	p.at = to
}

// wire goes on to the right by a share of an element.
func (p *circuitPen) wire(share float64) {
	p.line(vg.Point{X: p.at.X + p.unit*vg.Length(share), Y: p.at.Y})
}

// block draws one block and its title at the foot.
func (p *circuitPen) block(b circuitBlock) {
	left := p.at
	if b.parallel == nil {
		for _, e := range b.elements {
			p.element(e, 1, true)
		}
	} else {
		p.branches(b)
	}
	title := p.text.bold(smallSize, quiet)
	title.XAlign = draw.XCenter
	width := p.at.X - left.X
	foot := vg.Point{X: left.X + width/2, Y: p.c.Min.Y + 5}
	place(&p.c, title, foot, shortened(title, b.title, width))
}

// branches draws the elements above, the constant-phase element below.
func (p *circuitPen) branches(b circuitBlock) {
	middle := p.at.Y
	p.wire(branchShare)
	fork := p.at
	join := vg.Point{X: fork.X + p.unit*vg.Length(len(b.elements)), Y: middle}
	p.line(vg.Point{X: fork.X, Y: middle + branchOffset})
	for _, e := range b.elements {
		p.element(e, 1, true)
	}
	p.line(join)
	p.at = fork
	p.line(vg.Point{X: fork.X, Y: middle - branchOffset})
	p.element(*b.parallel, float64(len(b.elements)), false)
	p.line(join)
	for _, node := range []vg.Point{fork, join} {
		mark{shape: disc, radius: 1.3, colour: ink}.draw(&p.c, node)
	}
	p.wire(branchShare)
}

// element draws a symbol in the middle of so many widths of wire, its name and values above or below.
func (p *circuitPen) element(e circuitElement, widths float64, above bool) {
	half := p.unit * 0.3
	start := p.at
	centre := vg.Point{X: start.X + p.unit*vg.Length(widths)/2, Y: start.Y}
	p.line(vg.Point{X: centre.X - half, Y: centre.Y})
	p.at.X = centre.X + half
	p.line(vg.Point{X: start.X + p.unit*vg.Length(widths), Y: start.Y})
	if e.symbol == coil {
		p.coil(centre, half)
	} else {
		p.rectangle(centre, half)
	}
	p.label(e, centre, above)
}

func (p *circuitPen) rectangle(centre vg.Point, half vg.Length) {
	corner := vg.Point{X: half, Y: symbolHeight / 2}
	outline := vg.Rectangle{Min: centre.Sub(corner), Max: centre.Add(corner)}.Path()
	p.c.SetColor(paper)
	p.c.Fill(outline)
	p.c.SetLineStyle(draw.LineStyle{Color: ink, Width: stroke})
	p.c.Stroke(outline)
}

// coil is a row of four half circles.
func (p *circuitPen) coil(centre vg.Point, half vg.Length) {
	const turns = 4
	radius := half / turns
	var path vg.Path
	path.Move(vg.Point{X: centre.X - half, Y: centre.Y})
	for i := range turns {
		path.Arc(vg.Point{X: centre.X - half + radius*vg.Length(2*i+1), Y: centre.Y}, radius, math.Pi, -math.Pi)
	}
	p.c.SetLineStyle(draw.LineStyle{Color: ink, Width: stroke})
	p.c.Stroke(path)
}

// label writes the name next to or into the symbol and the values beyond.
func (p *circuitPen) label(e circuitElement, centre vg.Point, above bool) {
	style := p.text.regular(smallSize, ink)
	style.XAlign = draw.XCenter
	direction, offset := vg.Length(1), symbolHeight/2+5
	if !above {
		direction = -1
	}
	if e.symbol == box {
		p.subscripted(centre, e.name, e.subscript)
	} else {
		p.subscripted(vg.Point{X: centre.X, Y: centre.Y + direction*(offset+lineSpacing*vg.Length(len(e.values)))}, e.name, e.subscript)
	}
	for i, v := range e.values {
		line := vg.Length(i)
		if above {
			line = vg.Length(len(e.values) - 1 - i)
		}
		place(&p.c, style, vg.Point{X: centre.X, Y: centre.Y + direction*(offset+lineSpacing*line)}, v)
	}
}

// subscripted writes a name with a subscript, centred.
func (p *circuitPen) subscripted(at vg.Point, name, subscript string) {
	body, small := p.text.regular(bodySize, ink), p.text.regular(bodySize*0.7, ink)
	left := at.X - (body.Width(name)+small.Width(subscript))/2
	place(&p.c, body, vg.Point{X: left, Y: at.Y}, name)
	place(&p.c, small, vg.Point{X: left + body.Width(name) + 0.3, Y: at.Y - body.Font.Size*0.25}, subscript)
}
