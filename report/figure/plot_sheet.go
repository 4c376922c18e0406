package figure

import (
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const pointsPerMM = 72 / 25.4 // a PostScript point is 1/72 inch; an inch is 25.4 mm

// Line widths of figures in points.
const (
	thin   = vg.Length(0.35)
	axis   = vg.Length(0.55)
	stroke = vg.Length(0.9)
	heavy  = vg.Length(1.4)
)

// dashed is the pattern of limits.
func dashed() []vg.Length { return []vg.Length{4.5, 2.5} }

// newPlot is a plot in the style of the report's figures: full frame, thin grid, ticks outside.
func newPlot(l lettering) *plot.Plot {
	p := plot.New()
	l.set(p)
	p.BackgroundColor = nil
	p.X.Label.Padding, p.Y.Label.Padding = 1.5, 2.5
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.LineStyle = draw.LineStyle{Color: quiet} // no width: the frame draws all four sides alike
		a.Tick.LineStyle = draw.LineStyle{Color: quiet, Width: axis}
		a.Tick.Length = 3
		a.Padding = 0
	}
	grid := plotter.NewGrid()
	grid.Horizontal = draw.LineStyle{Color: hairline, Width: thin}
	grid.Vertical = grid.Horizontal
	p.Add(grid)
	return p
}

// frame closes the box around a plot's data; it is added last, over everything else.
type frame struct{}

// Plot implements plot.Plotter.
func (frame) Plot(c draw.Canvas, _ *plot.Plot) {
	c.StrokeLines(draw.LineStyle{Color: quiet, Width: axis}, []vg.Point{
		{X: c.Min.X, Y: c.Min.Y}, {X: c.Min.X, Y: c.Max.Y}, c.Max, {X: c.Max.X, Y: c.Min.Y}, {X: c.Min.X, Y: c.Min.Y},
	})
}

// hideXLabels leaves the ticks of an axis that a panel below repeats, without their numbers.
func hideXLabels(p *plot.Plot) {
	marker := p.X.Tick.Marker
	p.X.Tick.Marker = plot.TickerFunc(func(low, high float64) []plot.Tick {
		ticks := marker.Ticks(low, high)
		for i := range ticks {
			if ticks[i].Label != "" {
				ticks[i].Label = unlabelled
			}
		}
		return ticks
	})
}

// unlabelled marks a major tick that shows no number: gonum takes ticks with an empty label for minor ones.
const unlabelled = " "

// nothing says in place of a drawing why there is none.
func nothing(c draw.Canvas, l lettering, reason string) {
	style := l.regular(bodySize, quiet)
	style.XAlign, style.YAlign = draw.XCenter, draw.YCenter
	c.FillText(style, c.Center(), wrapped(style, reason, (c.Max.X-c.Min.X)*0.9, 3))
}
