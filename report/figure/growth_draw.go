package figure

import (
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// The looks of the growth figure.
var (
	grownMark    = mark{shape: disc, radius: 1.7, colour: blue}
	judgedMark   = mark{shape: disc, radius: 3.6, colour: ink}
	missingMark  = mark{shape: wedge, radius: 1.6, colour: quiet, open: true}
	limitColour  = vermilion
	guardColour  = faded(vermilion, 0.13)
	guardHatch   = faded(vermilion, 0.45)
	joiningStyle = draw.LineStyle{Color: pale, Width: axis}
)

func limitStyle() draw.LineStyle {
	return draw.LineStyle{Color: limitColour, Width: stroke, Dashes: dashed()}
}

func (g *growth) draw(c draw.Canvas) {
	l := newLettering()
	key := g.legend(l)
	width := c.Max.X - c.Min.X - vg.Length(axisWidth*pointsPerMM)
	margin, headroom := vg.Length(0), 0.15
	if c.Max.X-c.Min.X > narrow {
		margin, headroom = g.limitMargin(l), 0
	}
	upper := draw.Crop(c, 2, -2-margin, key.height(width), 0)
	along := g.along()
	var panels []panel
	for i := range g.panels {
		p := g.plot(l, &g.panels[i], along, headroom, int((upper.Max.X-upper.Min.X)/50))
		panels = append(panels, panel{plot: p, head: g.words.Say("quantity."+string(g.panels[i].quantity), nil),
			axis: g.words.Say("figure.growth.axis", nil)})
	}
	areas := stack(upper, l, g.words.Say("figure.growth.against."+g.axis.name, nil), panels)
	for i, area := range areas {
		g.annotate(area, l, panels[i].plot, &g.panels[i], margin)
	}
	key.draw(c, areas[0].Min.X, width)
}

// along is what the horizontal axis of all panels shows.
func (g *growth) along() extent {
	e := emptyExtent()
	for _, p := range g.panels {
		for _, at := range append(p.grown.points, p.refused...) {
			e = e.with(at.X)
		}
		e = e.with(p.missing...).with(p.discarded...)
	}
	if e.empty() {
		e = extent{0, 0}
	}
	if lack := g.axis.least - e.span(); lack > 0 {
		e = extent{e.low - lack/2, e.high + lack/2}
	}
	return e.padded(0.025)
}

// plot is one panel within its frame.
func (g *growth) plot(l lettering, panel *growthPanel, along extent, headroom float64, labels int) *plot.Plot {
	p := newPlot(l)
	n := g.words.Notation()
	p.X.Min, p.X.Max = along.low, along.high
	p.X.Tick.Marker = g.axis.ticker(along, labels, n)
	verticalAxis(p, panel.extent(), headroom, n)
	p.Add(level{draw.LineStyle{Color: pale, Width: stroke}, 1})
	for _, c := range panel.criteria {
		if guarded(c) {
			low, high := guardBand(c, g.rule)
			p.Add(band{low, high, guardColour, guardHatch})
		}
		p.Add(level{limitStyle(), c.Limit})
	}
	p.Add(curve{joiningStyle, panel.grown.points},
		bars{draw.LineStyle{Color: blue, Width: 0.7}, panel.grown.points, panel.grown.low, panel.grown.high},
		marks{grownMark.opened(), panel.refused}, marks{grownMark, panel.grown.points},
		rings{judgedMark, panel.judged},
		footnotes{missingMark, panel.missing}, footnotes{refusedMark, panel.discarded}, frame{})
	return p
}

// verticalAxis shows an extent with room at its ends and a share more at its top, logarithmic where numbers of
// very different size stand on it.
func verticalAxis(p *plot.Plot, e extent, headroom float64, n notation.Notation) {
	const farApart = 30
	if !e.empty() && e.low > 0 && e.high/e.low > farApart {
		e = e.paddedLog(0.1)
		p.Y.Scale, p.Y.Tick.Marker = plot.LogScale{}, decades{notation: n}
	} else {
		e = e.padded(0.12)
		e.high += headroom * e.span()
		p.Y.Tick.Marker = steps{niceStep(e.span(), 5), n}
	}
	p.Y.Min, p.Y.Max = e.low, e.high
}

// rings surrounds points.
type rings struct {
	mark
	points plotter.XYs
}

// Plot implements plot.Plotter.
func (r rings) Plot(c draw.Canvas, p *plot.Plot) {
	c.SetLineStyle(draw.LineStyle{Color: r.colour, Width: axis})
	for _, at := range toCanvas(c, p, r.points) {
		if c.Contains(at) {
			c.Stroke(r.shape.path(at, r.radius))
		}
	}
}

// footnotes draws marks at the foot of the frame, for what has a place along the axis but no value.
type footnotes struct {
	mark
	along []float64
}

// Plot implements plot.Plotter.
func (f footnotes) Plot(c draw.Canvas, p *plot.Plot) {
	for _, x := range f.along {
		if place := c.X(p.X.Norm(x)); c.ContainsX(place) {
			f.draw(&c, vg.Point{X: place, Y: c.Min.Y + 3.5})
		}
	}
}

// narrow is the width in points up to which limits are labelled inside the frame, where there is no room beside it.
const narrow = 110 * pointsPerMM

// annotate writes the limits beside a panel or into it, and into an empty one why it is so.
func (g *growth) annotate(area draw.Canvas, l lettering, p *plot.Plot, panel *growthPanel, margin vg.Length) {
	if panel.empty() {
		reason := panel.reason
		if reason == "" {
			reason = g.words.Say("figure.growth.none", nil)
		}
		nothing(area, l, reason)
	}
	height := func(v float64) (y vg.Length, known bool) {
		for _, at := range toCanvas(area, p, plotter.XYs{{X: p.X.Min, Y: v}}) {
			return at.Y, true
		}
		return 0, false
	}
	style := l.regular(smallSize, ink)
	if margin == 0 {
		inner := innerLabels{style: style, area: area, avoid: panel.grown.places(area, p)}
		for _, c := range panel.criteria {
			if y, known := height(c.Limit); known {
				inner.write(y, g.limitLabel(c))
			}
		}
		return
	}
	side := sideLabels{style: style, area: area, width: margin - 4}
	for _, c := range panel.criteria {
		if y, known := height(c.Limit); known {
			side.add(y, g.limitLabel(c))
		}
		if y, known := height(c.AcceptanceLimit); known && guarded(c) {
			side.add(y, g.acceptanceLabel(c))
		}
	}
	side.write()
}

func (g *growth) limitLabel(c health.Criterion) string {
	return g.words.Say("figure.limit", g.words.Notation().Short(c.Limit, notation.One.Scale()))
}

func (g *growth) acceptanceLabel(c health.Criterion) string {
	return g.words.Say("figure.acceptance", g.words.Notation().Like(c.AcceptanceLimit, c.ExpandedUncertainty, notation.One.Scale()))
}

// limitMargin is the room that the labels of limits take beside the panels.
func (g *growth) limitMargin(l lettering) vg.Length {
	style, width := l.regular(smallSize, ink), vg.Length(0)
	for _, p := range g.panels {
		for _, c := range p.criteria {
			width = max(width, style.Width(g.limitLabel(c))+6)
			if guarded(c) {
				width = max(width, style.Width(g.acceptanceLabel(c))+6)
			}
		}
	}
	return min(width, 110)
}

func (g *growth) legend(l lettering) legend {
	say := func(block string, data any) string { return g.words.Say("figure.growth."+block, data) }
	key := legend{text: l}
	add := func(when bool, label string, sample func(*draw.Canvas)) {
		if when {
			key.entries = append(key.entries, entry{sample, label})
		}
	}
	any := func(has func(p *growthPanel) bool) bool {
		for i := range g.panels {
			if has(&g.panels[i]) {
				return true
			}
		}
		return false
	}
	add(any(func(p *growthPanel) bool { return len(p.grown.points) > 0 }), say("grown", g.words.Notation().Coverage(g.factor)), sampleBar(grownMark))
	add(any(func(p *growthPanel) bool { return len(p.judged) > 0 }), say("judged", nil), sampleRing(grownMark, judgedMark))
	add(any(func(p *growthPanel) bool { return anyGuarded(p.criteria) }), say("guard", nil), sampleArea(band{fill: guardColour, hatched: guardHatch}))
	open := grownMark.opened()
	add(any(func(p *growthPanel) bool { return len(p.refused) > 0 }), say("refused", nil), sampleOf(nil, &open))
	add(any(func(p *growthPanel) bool { return len(p.discarded) > 0 }), say("discarded", nil), sampleOf(nil, &refusedMark))
	add(any(func(p *growthPanel) bool { return len(p.missing) > 0 }), say("missing", nil), sampleOf(nil, &missingMark))
	return key
}

func anyGuarded(criteria []health.Criterion) bool {
	for _, c := range criteria {
		if guarded(c) {
			return true
		}
	}
	return false
}
