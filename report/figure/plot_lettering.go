package figure

import (
	"image/color"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedbold"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	typeset "gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sizes of lettering in figures, in points.
const (
	bodySize  = 7.0
	smallSize = 6.3
	headSize  = 7.6
)

// lettering sets the text of one drawing. Every drawing reads the faces anew, which takes some 30 µs:
// gonum's defaults are variables of its packages, and figures drawn side by side must not share them.
type lettering struct{ handler typeset.Plain }

func newLettering() lettering {
	return lettering{typeset.Plain{Fonts: font.NewCache(font.Collection{
		readFace(xfont.WeightNormal, dejavusanscondensed.TTF),
		readFace(xfont.WeightBold, dejavusanscondensedbold.TTF),
	})}}
}

// figureFont names the typeface of figures, that of the report's body: DejaVu Sans Condensed.
func figureFont(weight xfont.Weight, size float64) font.Font {
	return font.Font{Typeface: "DejaVu", Variant: "SansCondensed", Weight: weight, Size: vg.Points(size)}
}

func readFace(weight xfont.Weight, trueType []byte) font.Face {
	face, err := opentype.Parse(trueType)
	if err != nil {
		panic("report: " + err.Error()) // the faces are compiled in
	}
	return font.Face{Font: figureFont(weight, 0), Face: face}
}

// regular is upright text of a size in points that hangs from the top left.
func (l lettering) regular(size float64, c color.Color) draw.TextStyle {
	return draw.TextStyle{Color: c, Font: figureFont(xfont.WeightNormal, size), Handler: l.handler, YAlign: draw.YTop}
}

func (l lettering) bold(size float64, c color.Color) draw.TextStyle {
	return draw.TextStyle{Color: c, Font: figureFont(xfont.WeightBold, size), Handler: l.handler, YAlign: draw.YTop}
}

// set replaces all lettering that gonum gives a plot by default.
func (l lettering) set(p *plot.Plot) {
	body, small := l.regular(bodySize, ink), l.regular(smallSize, quiet)
	p.TextHandler = l.handler
	restyle(&p.Title.TextStyle, body)
	restyle(&p.Legend.TextStyle, body)
	restyle(&p.X.Label.TextStyle, body)
	restyle(&p.Y.Label.TextStyle, body)
	restyle(&p.X.Tick.Label, small)
	restyle(&p.Y.Tick.Label, small)
}

// restyle changes the looks of text and leaves its alignment, which differs from axis to axis.
func restyle(s *draw.TextStyle, to draw.TextStyle) {
	s.Color, s.Font, s.Handler = to.Color, to.Font, to.Handler
}
