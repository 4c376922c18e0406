package pdf

import (
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"

	"ohmledger/report"
)

// addFigures sets figures side by side where they fit, their captions below.
func (c *composition) addFigures(figures ...report.Figure) {
	for len(figures) > 0 {
		n := beside(figures)
		c.space(module)
		c.add(c.figureRows(figures[:n])...)
		figures = figures[n:]
	}
}

// beside is how many of the first figures fit side by side.
func beside(figures []report.Figure) (n int) {
	width := 0.
	for _, f := range figures {
		if width += f.Width; n > 0 && width > textWidth {
			break
		}
		n++
	}
	return n
}

func (c *composition) figureRows(figures []report.Figure) []core.Row {
	var drawings, captions []core.Col
	for i, f := range figures {
		width := mm(f.Width)
		if i > 0 {
			gap := mm(textWidth-total(figures)) / mm(len(figures)-1)
			drawings, captions = append(drawings, gap.holding()), append(captions, gap.holding())
		}
		drawings = append(drawings, width.holding(figurePart(f)))
		captions = append(captions, c.stack(width, item{literally(f.Caption), c.sheet.small, 0}))
	}
	return []core.Row{across(drawings...), across(captions...)}
}

// total is the width of figures side by side, in mm.
func total(figures []report.Figure) (width float64) {
	for _, f := range figures {
		width += f.Width
	}
	return width
}

// figurePart is a figure as a part of a column.
func figurePart(f report.Figure) core.Component {
	return &drawn{f.Height, func(p *provider, x, y float64, _ *entity.Cell) {
		drawFigure(p.pdf, f, x, y, family)
		p.set = letters{} // the canvas has told the page others
	}}
}
