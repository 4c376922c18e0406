package pdf

import (
	"ohmledger/health"
	"ohmledger/report/figure"
)

// figures of a cell: its spectra at all ages, then in this order, but so that pages fill up, its growth and
// how well the judged spectrum is described, what the checks found, the circuit, and the uncertainty budget.
func (c *composition) figures(cell *health.Cell) {
	if len(cell.Measurements) == 0 {
		return
	}
	c.fill(
		func() { c.addFigures(c.lower(figure.Nyquist(c.doc, cell))) },
		func() { c.addFigures(c.course(cell)...) },
		func() { c.findings(cell) },
		func() { c.circuit(cell) },
		func() { c.budgets(cell) },
	)
}

// course is the growth of a cell, or of one that was measured once magnitude and phase of its spectrum, and the
// residuals of its judged spectrum, side by side.
func (c *composition) course(cell *health.Cell) []figure.Figure {
	left, residuals := figure.Growth(c.doc, cell, along(cell)), figure.Residuals(c.doc, cell)
	if len(cell.Measurements) == 1 {
		left = figure.Bode(c.doc, cell)
	}
	left.Width, residuals.Width = halfWidth, halfWidth
	left.Height, residuals.Height = courseHeight, courseHeight
	return []figure.Figure{lowerBy(left, min(c.give, mostOfCourse)), lowerBy(residuals, min(c.give, mostOfCourse))}
}

// mostOfCourse is by how much the two figures may be lower, in mm: each has two panels.
const mostOfCourse = 12

// lower is a tall figure as low as figures have to be where the page is short of room.
func (c *composition) lower(f figure.Figure) figure.Figure { return lowerBy(f, c.give) }

// lowerBy is a figure by so many mm lower, as far as it can be.
func lowerBy(f figure.Figure, by float64) figure.Figure {
	const least = 45 // mm
	f.Height = max(min(f.Height, least), f.Height-by)
	return f
}

// courseHeight is that of the two figures, in mm.
const courseHeight = 65.

// halfWidth is that of figures of which two stand side by side, in mm.
const halfWidth = (textWidth - 4) / 2

// along is what growth is drawn against: cycles where every measurement states them, else days.
func along(cell *health.Cell) string {
	for _, m := range cell.Measurements {
		if m.Row.Cycles == nil {
			return "days"
		}
	}
	return "cycles"
}

// lineWidth is the width of a criterion's number line, in mm.
const lineWidth = 84

// numberLine is the figure of a cell's i-th criterion.
func (c *composition) numberLine(cell *health.Cell, i int) figure.Figure {
	f := figure.NumberLine(c.doc, cell, i)
	f.Width = lineWidth
	return f
}
