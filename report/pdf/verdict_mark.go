package pdf

import (
	"image/color"
	"math"

	"codeberg.org/go-pdf/fpdf"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
	"gonum.org/v1/plot/vg"

	"ohmledger/health"
)

// A verdict has a shape beside its word, so that it is seen at arm's length, in grey and with any colour
// vision: a disc conforms, a diamond does not; half filled, the uncertainty leaves it open; a ring was
// not evaluated.

// verdictColours are dark enough for the words to be set in them.
var verdictColours = [...]*props.Color{
	health.NotEvaluated:    {Red: 86, Green: 98, Blue: 105},
	health.Pass:            {Red: 22, Green: 101, Blue: 82},
	health.ConditionalPass: {Red: 22, Green: 101, Blue: 82},
	health.ConditionalFail: {Red: 163, Green: 54, Blue: 28},
	health.Fail:            {Red: 163, Green: 54, Blue: 28},
}

// verdictMark is a verdict's shape, size mm across, its centre below mm under the top of its cell.
func verdictMark(v health.Verdict, size, below float64) core.Component {
	return &drawn{0, func(p *provider, x, y float64, _ *entity.Cell) { drawVerdict(p.pdf, v, x+size/2, y+below, size/2) }}
}

// markPen is the thickness of a mark's outline in sizes of the mark.
const markPen = 0.13

// drawVerdict draws a verdict's shape of a radius about a point, all in mm.
func drawVerdict(pdf *fpdf.Fpdf, v health.Verdict, x, y, radius float64) {
	c := newCanvas(pdf, x-radius, y-radius, 2*radius, 2*radius, family)
	defer c.close()
	colour := verdictColours[v]
	c.SetColor(color.NRGBA{R: uint8(colour.Red), G: uint8(colour.Green), B: uint8(colour.Blue), A: 255})
	r := vg.Length(radius * pointsPerMM)
	c.SetLineWidth(2 * r * markPen)
	c.Translate(vg.Point{X: r, Y: r})
	outline := r * (1 - markPen)
	switch v {
	case health.Pass:
		c.Fill(disc(r, 2*math.Pi))
	case health.ConditionalPass:
		c.Stroke(disc(outline, 2*math.Pi))
		c.Fill(disc(r, math.Pi))
	case health.ConditionalFail:
		c.Stroke(diamond(outline, 4))
		c.Fill(diamond(r, 3))
	case health.Fail:
		c.Fill(diamond(r*diamondScale, 4))
	default:
		c.Stroke(disc(outline, 2*math.Pi))
	}
}

// disc is a part of a disc about the origin, from its top anticlockwise.
func disc(r vg.Length, angle float64) (p vg.Path) {
	p.Move(vg.Point{Y: r})
	p.Arc(vg.Point{}, r, math.Pi/2, angle)
	p.Close()
	return p
}

// diamondScale makes a diamond look as large as a disc.
const diamondScale = 1.2

// diamond has its first corners at top, left, bottom and right of the origin: three make its left half.
func diamond(r vg.Length, corners int) (p vg.Path) {
	p.Move(vg.Point{Y: r})
	for _, at := range []vg.Point{{X: -r}, {Y: -r}, {X: r}}[:corners-1] {
		p.Line(at)
	}
	p.Close()
	return p
}
