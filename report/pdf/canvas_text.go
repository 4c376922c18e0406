package pdf

import (
	"image/color"
	"math"
	"strings"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// lettered is a line of text of a drawing.
type lettered struct {
	text         string
	style        string
	size         float64 // points
	x, y, degree float64 // points from the page's left and bottom edge to the base line's begin; anticlockwise
	colour       color.NRGBA
}

// FillString writes a line of text from a point on its base line, in the weight and slope of the face.
func (c *canvas) FillString(face font.Face, p vg.Point, text string) {
	text = printable(text)
	if face.Font.Size <= 0 || strings.TrimSpace(text) == "" {
		return
	}
	s := c.now()
	x, y := s.matrix.apply(p)
	c.texts = append(c.texts, lettered{
		text, fontStyle(face.Font), float64(face.Font.Size) * s.matrix.scale(),
		c.left + x, c.foot + y, s.matrix.angle() * 180 / math.Pi, s.colour,
	})
}

// writeTexts writes the texts of the drawing, and restores what fpdf remembers of colour and font.
func (c *canvas) writeTexts() {
	red, green, blue := c.pdf.GetTextColor()
	family, style := c.pdf.GetFontFamily(), c.pdf.GetFontStyle()
	size, _ := c.pdf.GetFontSize()
	var before letters
	for _, t := range c.texts {
		if f := (letters{t.style, t.size}); f != before {
			c.pdf.SetFont(c.family, t.style, t.size)
			before = f
		}
		c.pdf.SetTextColor(int(t.colour.R), int(t.colour.G), int(t.colour.B))
		c.write(t)
	}
	c.pdf.SetTextColor(red, green, blue)
	if family != "" {
		c.pdf.SetFont(family, style, size)
	}
}

func (c *canvas) write(t lettered) {
	x, y := t.x/pointsPerMM, (c.pageHeight-t.y)/pointsPerMM
	if math.Abs(t.degree) < 1e-6 {
		c.pdf.Text(x, y, t.text)
		return
	}
	c.pdf.TransformBegin()
	c.pdf.TransformRotate(t.degree, x, y)
	c.pdf.Text(x, y, t.text)
	c.pdf.TransformEnd()
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
