package pdf

import (
	"image"
	"image/color"
	"math"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/report/figure"
)

// drawFigure draws a figure as vectors on the current page, its top left corner at x, y in mm. The
// family is the one that the body uses, so that its fonts are embedded once.
func drawFigure(pdf *fpdf.Fpdf, f figure.Figure, x, y float64, family string) {
	c := newCanvas(pdf, x, y, f.Width, f.Height, family)
	defer c.close()
	f.Draw(draw.New(c))
}

// canvas draws vector graphics on the current page of a document; it is a vg.CanvasSizer. What is drawn is
// kept until close, which writes the paths in a system of coordinates of their own and the texts over them,
// and leaves fpdf's idea of colours, widths, dashes, fonts and flow position true.
type canvas struct {
	pdf           *fpdf.Fpdf
	family        string
	left, foot    float64   // points: of the drawing, from the page's left and bottom edge
	pageHeight    float64   // points
	width, height vg.Length // of the drawing
	states        []state   // the last one is in force
	paths         pathWriter
	texts         []lettered
}

// state is what Push saves and Pop restores.
type state struct {
	matrix affine // from what is drawn to the drawing: points, both upward
	width  vg.Length
	dash   []vg.Length
	offset vg.Length
	colour color.NRGBA
}

const pointsPerMM = 72 / 25.4 // a PostScript point is 1/72 inch; an inch is 25.4 mm

// newCanvas opens a drawing of w × h mm whose top left corner is at x, y in mm from the page's. The
// document's unit must be the millimetre, and family must have been added to it. Close it after use.
func newCanvas(pdf *fpdf.Fpdf, x, y, w, h float64, family string) *canvas {
	_, page := pdf.GetPageSize()
	return &canvas{
		pdf: pdf, family: family, pageHeight: page * pointsPerMM,
		left: x * pointsPerMM, foot: (page - y - h) * pointsPerMM,
		width: vg.Length(w * pointsPerMM), height: vg.Length(h * pointsPerMM),
		states: []state{{matrix: affine{1, 0, 0, 1, 0, 0}, width: 1, colour: color.NRGBA{A: 255}}},
	}
}

// close writes the drawing.
func (c *canvas) close() {
	if len(c.paths.content) > 0 {
		c.pdf.TransformBegin()
		c.pdf.RawWriteStr(c.paths.placed(c.left, c.foot))
		c.pdf.TransformEnd()
	}
	c.writeTexts()
}

func (c *canvas) now() *state { return &c.states[len(c.states)-1] }

// Size is that of the drawing.
func (c *canvas) Size() (w, h vg.Length) { return c.width, c.height }

// SetLineWidth sets the width of strokes.
func (c *canvas) SetLineWidth(w vg.Length) { c.now().width = w }

// SetLineDash sets the lengths of dashes and gaps; none is a solid line.
func (c *canvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	c.now().dash, c.now().offset = pattern, offset
}

// SetColor sets the colour of strokes, fills and text, black for nil. One that lets the ground through is
// mixed with the white of the page.
func (c *canvas) SetColor(colour color.Color) {
	if colour == nil {
		colour = color.Black
	}
	k := color.NRGBAModel.Convert(colour).(color.NRGBA)
	mixed := func(v uint8) uint8 { return uint8((int(v)*int(k.A) + 255*(255-int(k.A)) + 127) / 255) }
	c.now().colour = color.NRGBA{mixed(k.R), mixed(k.G), mixed(k.B), 255}
}

// Rotate turns what follows anticlockwise by an angle in radians.
func (c *canvas) Rotate(angle float64) {
	sin, cos := math.Sincos(angle)
	c.transform(affine{cos, sin, -sin, cos, 0, 0})
}

// Translate moves the origin.
func (c *canvas) Translate(p vg.Point) {
	c.transform(affine{1, 0, 0, 1, float64(p.X), float64(p.Y)})
}

// Scale stretches what follows.
func (c *canvas) Scale(x, y float64) { c.transform(affine{x, 0, 0, y, 0, 0}) }

func (c *canvas) transform(t affine) { c.now().matrix = c.now().matrix.after(t) }

// Push saves width, dash, colour and transformation.
func (c *canvas) Push() { c.states = append(c.states, *c.now()) }

// Pop restores what the matching Push saved.
func (c *canvas) Pop() { c.states = c.states[:len(c.states)-1] }

// Stroke draws along a path.
func (c *canvas) Stroke(p vg.Path) {
	if s := c.now(); len(p) > 0 && s.width > 0 {
		c.paths.stroke(p, s)
	}
}

// Fill fills a path by the nonzero winding rule.
func (c *canvas) Fill(p vg.Path) {
	if len(p) > 0 {
		c.paths.fill(p, c.now())
	}
}

// DrawImage panics: figures are vectors, and fpdf orders images of equal width at random, so that a
// document with them would not come out in the same bytes twice.
func (c *canvas) DrawImage(vg.Rectangle, image.Image) {
	panic("pdf: figures are vectors; an image cannot be drawn into one")
}
