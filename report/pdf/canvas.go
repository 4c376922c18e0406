package pdf

import (
	"image"
	"image/color"
	"math"
	"slices"
	"strings"

	"codeberg.org/go-pdf/fpdf"
	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/report"
)

// drawFigure draws a figure as vectors on the current page, its top left corner at x, y in mm. The
// family is the one that the body uses, so that its fonts are embedded once.
func drawFigure(pdf *fpdf.Fpdf, f report.Figure, x, y float64, family string) {
	c := newCanvas(pdf, x, y, f.Width, f.Height, family)
	defer c.close()
	f.Draw(draw.New(c))
}

// canvas draws vector graphics on the current page of a document; it is a vg.CanvasSizer. Paths go into
// the page's content between a save and a restore of the graphics state, so that fpdf's own idea of
// colours, widths, dashes and flow position stays true; close puts back the rest.
type canvas struct {
	pdf           *fpdf.Fpdf
	family        string
	width, height vg.Length // of the drawing
	pageHeight    float64   // points
	states        []state   // the last one is in force
	written       state     // what the page's content has been told last
	before        before
}

// state is what Push saves and Pop restores.
type state struct {
	matrix affine // from the drawing to the page: points, both upward
	width  vg.Length
	dash   []vg.Length
	offset vg.Length
	colour color.NRGBA
}

// before is what fpdf remembers of the document and drawing changes.
type before struct {
	red, green, blue int // of text
	alpha            float64
	blend            string
	family, style    string
	size             float64
}

const pointsPerMM = 72 / 25.4 // a PostScript point is 1/72 inch; an inch is 25.4 mm

// newCanvas opens a drawing of w × h mm whose top left corner is at x, y in mm from the page's. The
// document's unit must be the millimetre, and family must have been added to it. Close it after use.
func newCanvas(pdf *fpdf.Fpdf, x, y, w, h float64, family string) *canvas {
	_, page := pdf.GetPageSize()
	c := &canvas{pdf: pdf, family: family, pageHeight: page * pointsPerMM,
		width: vg.Length(w * pointsPerMM), height: vg.Length(h * pointsPerMM)}
	c.before.save(pdf)
	pdf.TransformBegin()
	pdf.RawWriteStr("0 J 1 j 1 w [] 0 d 0 g 0 G") // butt ends, round corners, the rest as vg wants it at first
	c.written = state{width: 1, colour: color.NRGBA{A: 255}}
	c.states = []state{c.written}
	c.now().matrix = affine{1, 0, 0, 1, x * pointsPerMM, (page - y - h) * pointsPerMM}
	return c
}

// close restores the document's graphics state.
func (c *canvas) close() {
	c.pdf.TransformEnd()
	c.before.restore(c.pdf)
}

func (b *before) save(pdf *fpdf.Fpdf) {
	b.red, b.green, b.blue = pdf.GetTextColor()
	b.alpha, b.blend = pdf.GetAlpha()
	b.family, b.style = pdf.GetFontFamily(), pdf.GetFontStyle()
	b.size, _ = pdf.GetFontSize()
}

func (b *before) restore(pdf *fpdf.Fpdf) {
	pdf.SetTextColor(b.red, b.green, b.blue)
	if alpha, blend := pdf.GetAlpha(); alpha != b.alpha || blend != b.blend {
		pdf.SetAlpha(b.alpha, b.blend)
	}
	if b.family != "" {
		pdf.SetFont(b.family, b.style, b.size)
	}
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

// SetColor sets the colour of strokes, fills and text, black for nil.
func (c *canvas) SetColor(colour color.Color) {
	if colour == nil {
		colour = color.Black
	}
	c.now().colour = color.NRGBAModel.Convert(colour).(color.NRGBA)
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
	if len(p) == 0 || c.now().width <= 0 {
		return
	}
	c.writeStroke()
	c.pdf.RawWriteStr(content(p, c.now().matrix, "S"))
}

// Fill fills a path by the nonzero winding rule.
func (c *canvas) Fill(p vg.Path) {
	if len(p) == 0 {
		return
	}
	c.writeColour()
	c.pdf.RawWriteStr(content(p, c.now().matrix, "f"))
}

// FillString writes a line of text from a point on its base line, in the weight and slope of the face.
func (c *canvas) FillString(face font.Face, p vg.Point, text string) {
	text = printable(text)
	if face.Font.Size <= 0 || text == "" {
		return
	}
	c.writeColour()
	s := c.now()
	c.pdf.SetTextColor(int(s.colour.R), int(s.colour.G), int(s.colour.B))
	c.pdf.SetFont(c.family, fontStyle(face.Font), float64(face.Font.Size)*s.matrix.scale())
	x, y := s.matrix.apply(p)
	x, y = x/pointsPerMM, (c.pageHeight-y)/pointsPerMM
	turned := math.Abs(s.matrix.angle()) > 1e-9
	if turned {
		c.pdf.TransformBegin()
		c.pdf.TransformRotate(s.matrix.angle()*180/math.Pi, x, y)
	}
	c.pdf.Text(x, y, text)
	if turned {
		c.pdf.TransformEnd()
	}
}

// DrawImage panics: figures are vectors, and fpdf orders images of equal width at random, so that a
// document with them would not come out in the same bytes twice.
func (c *canvas) DrawImage(vg.Rectangle, image.Image) {
	panic("pdf: figures are vectors; an image cannot be drawn into one")
}

// writeColour tells the page the colour for fills and strokes where it has changed.
func (c *canvas) writeColour() {
	s := c.now()
	if alpha, _ := c.pdf.GetAlpha(); alpha != float64(s.colour.A)/255 {
		c.pdf.SetAlpha(float64(s.colour.A)/255, "Normal")
	}
	if s.colour == c.written.colour {
		return
	}
	b := make([]byte, 0, 48)
	for _, operator := range []string{"rg\n", "RG\n"} {
		for _, v := range []uint8{s.colour.R, s.colour.G, s.colour.B} {
			b = append(appendNumber(b, float64(v)/255, 3), ' ')
		}
		b = append(b, operator...)
	}
	c.pdf.RawWriteStr(string(b[:len(b)-1]))
	c.written.colour = s.colour
}

// writeStroke tells the page colour, width and dash where they have changed.
func (c *canvas) writeStroke() {
	c.writeColour()
	s, k := c.now(), c.now().matrix.scale()
	if width := s.width * vg.Length(k); width != c.written.width {
		c.pdf.RawWriteStr(string(appendNumber(nil, float64(width), 2)) + " w")
		c.written.width = width
	}
	if c.written.offset == s.offset && slices.Equal(c.written.dash, s.dash) {
		return
	}
	b := []byte{'['}
	for _, v := range s.dash {
		b = append(appendNumber(b, float64(v)*k, 2), ' ')
	}
	b = append(append(b, ']', ' '), appendNumber(nil, float64(s.offset)*k, 2)...)
	c.pdf.RawWriteStr(string(b) + " d")
	c.written.dash, c.written.offset = slices.Clone(s.dash), s.offset
}

func fontStyle(f font.Font) string {
	style := ""
	if f.Weight >= xfont.WeightSemiBold {
		style += "B"
	}
	if f.Style != xfont.StyleNormal {
		style += "I"
	}
	return style
}

// printable replaces what fpdf cannot write: above U+FFFF it panics, and control characters print as boxes.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r > 0xFFFF:
			return '\uFFFD'
		case r < ' ':
			return ' '
		}
		return r
	}, text)
}
