package pdf

import (
	"codeberg.org/go-pdf/fpdf"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"

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
	return &drawn{0, func(p *provider, x, y float64, _ *entity.Cell) {
		colour := verdictColours[v]
		p.pdf.SetFillColor(colour.Red, colour.Green, colour.Blue)
		p.setPen(colour, size*markPen)
		drawVerdict(p.pdf, v, x+size/2, y+below, size/2)
	}}
}

// markPen is the thickness of a mark's outline in sizes of the mark.
const markPen = 0.13

func drawVerdict(pdf *fpdf.Fpdf, v health.Verdict, x, y, r float64) {
	outline := r * (1 - markPen)
	switch v {
	case health.Pass:
		pdf.Circle(x, y, r, "F")
	case health.ConditionalPass:
		pdf.Circle(x, y, outline, "D")
		pdf.ClipRect(x-r, y-r, r, 2*r, false)
		pdf.Circle(x, y, r, "F")
		pdf.ClipEnd()
	case health.ConditionalFail:
		pdf.Polygon(diamond(x, y, outline), "D")
		pdf.Polygon(diamond(x, y, r)[:3], "F")
	case health.Fail:
		pdf.Polygon(diamond(x, y, r*diamondScale), "F")
	default:
		pdf.Circle(x, y, outline, "D")
	}
}

// diamondScale makes a diamond look as large as a disc.
const diamondScale = 1.2

// diamond's corners are top, left, bottom, right: the first three make its left half.
func diamond(x, y, r float64) []fpdf.PointType {
	return []fpdf.PointType{{X: x, Y: y - r}, {X: x - r, Y: y}, {X: x, Y: y + r}, {X: x + r, Y: y}}
}
