package pdf

import (
	"slices"

	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"

	"ohmledger/report/figure"
)

// addFigures sets figures side by side where they fit, their captions below.
func (c *composition) addFigures(figures ...figure.Figure) {
	for len(figures) > 0 {
		n := beside(figures)
		c.space(module)
		rows := c.figureRows(figures[:n])
		kept := min(3, len(rows))
		c.add(rows[:kept]...)
		c.addEach(rows[kept:])
		figures = figures[n:]
	}
}

// beside is how many of the first figures fit side by side.
func beside(figures []figure.Figure) (n int) {
	width := 0.
	for _, f := range figures {
		if width += f.Width; n > 0 && width > textWidth {
			break
		}
		n++
	}
	return n
}

// figureRows are the figures, and their captions.
func (c *composition) figureRows(figures []figure.Figure) []core.Row {
	var drawings []core.Col
	var captions []pillar
	for i, f := range figures {
		if i > 0 {
			gap := mm(textWidth-total(figures)) / mm(len(figures)-1)
			drawings, captions = append(drawings, gap.holding()), append(captions, pillar{gap, nil})
		}
		drawings = append(drawings, mm(f.Width).holding(figurePart(f)))
		captions = append(captions, pillar{mm(f.Width), []item{{c.literally(f.Caption), c.sheet.small, 0}}})
	}
	if !slices.ContainsFunc(figures, func(f figure.Figure) bool { return f.Caption != "" }) {
		return []core.Row{across(drawings...)}
	}
	return append([]core.Row{across(drawings...), empty(module / 2)}, c.abreast(captions...)...)
}

// total is the width of figures side by side, in mm.
func total(figures []figure.Figure) (width float64) {
	for _, f := range figures {
		width += f.Width
	}
	return width
}

// figurePart is a figure as a part of a column.
func figurePart(f figure.Figure) core.Component {
	return &drawn{f.Height, func(p *provider, x, y float64, _ *entity.Cell) {
		drawFigure(p.pdf, f, x, y, family)
		p.set = letters{} // the canvas has told the page others
	}}
}
