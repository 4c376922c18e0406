package figure

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// spread is a figure of how one quantity spreads over the cells of a lot.
type spread struct {
	words *report.Words
	of    *health.LotQuantity
	scale notation.Scale
}

func newSpread(d *report.Document, q *health.LotQuantity) *spread {
	return &spread{d.Words, q, notation.UnitOf(q.Quantity).Scale(fit.NewValue(drawableOr0(q.Summary.Median), 0))}
}

// title is the quantity with its unit, as the name of an axis.
func (s *spread) title() string {
	name := capitalised(s.words.Quantity(s.of.Quantity))
	if s.scale.Symbol == "" {
		return name
	}
	return name + " / " + s.scale.Symbol
}

// spreadHeight is that of the figures of a lot's quantities in mm.
const spreadHeight = 52.

// Histogram draws how many cells of a lot have which values of a quantity, with the limits and the curves of the
// distributions that were laid on it, the one that describes the lot drawn through.
func Histogram(d *report.Document, q *health.LotQuantity) Figure {
	s := newSpread(d, q)
	return Figure{
		Name:    figureName("lot", "histogram-"+string(q.Quantity)),
		Caption: s.caption("figure.histogram.caption"),
		Width:   figureWidth,
		Height:  spreadHeight,
		Draw:    s.drawHistogram,
	}
}

func (s *spread) caption(block string) string {
	return s.words.Say(block, map[string]any{"Quantity": s.words.Quantity(s.of.Quantity), "Cells": s.of.Summary.Count,
		"Limits": len(s.of.Limits) > 0, "Laws": len(s.of.Fits), "Adopted": s.of.Adopted >= 0})
}

// The looks of distributions: the one that describes the lot, and others, normal and lognormal.
var (
	adoptedLine   = draw.LineStyle{Color: ink, Width: 1.1}
	otherLines    = [2]draw.LineStyle{{Color: quiet, Width: stroke, Dashes: []vg.Length{1.5, 1.8}}, {Color: quiet, Width: stroke, Dashes: []vg.Length{5, 1.8}}}
	histogramFill = faded(blue, 0.32)
	histogramEdge = draw.LineStyle{Color: faded(blue, 0.75), Width: axis}
)

// law is the line of the i-th distribution.
func (s *spread) law(i int) draw.LineStyle {
	if i == s.of.Adopted {
		return adoptedLine
	}
	return otherLines[i%len(otherLines)]
}

func (s *spread) drawHistogram(c draw.Canvas) {
	l := newLettering()
	p := newPlot(l)
	along, tallest := s.along(), s.tallest()
	const headroom = 1.22 // for the limits' labels
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = along.low, along.high, 0, tallest*headroom
	p.X.Tick.Marker = steps{niceStep(along.span(), int((c.Max.X-c.Min.X)/45)), s.words.Notation()}
	p.Y.Tick.Marker = steps{math.Max(1, niceStep(tallest, 5)), s.words.Notation()}
	p.Add(columns{s.edges(), s.of.Histogram.Counts})
	for i := range s.of.Fits {
		p.Add(smooth{s.law(i), s.density(&s.of.Fits[i], along)})
	}
	for _, limit := range s.of.Limits {
		p.Add(plumb{limitStyle(), s.scale.In(limit.Bound)})
	}
	p.Add(frame{})
	s.write(c, l, p, s.words.Say("figure.histogram.axis", nil), false)
}

// write draws a plot with the names of its axes, and names the limits at its top; where values rise along the
// plot, upper ones at its foot.
func (s *spread) write(c draw.Canvas, l lettering, p *plot.Plot, axis string, rising bool) {
	key := s.legend(l)
	width := c.Max.X - c.Min.X - vg.Length(axisWidth*pointsPerMM)
	area := stack(draw.Crop(c, 2, -4, key.height(width), vg.Length(headRoom)-4), l, s.title(), []panel{{plot: p, axis: axis}})[0]
	key.draw(c, area.Min.X, width)
	labels := plumbLabels{style: l.regular(smallSize, ink), area: area}
	for _, limit := range s.of.Limits {
		at := toCanvas(area, p, plotter.XYs{{X: s.scale.In(limit.Bound), Y: p.Y.Max}})
		if len(at) > 0 {
			labels.write(at[0].X, s.words.Say("figure.limit", s.words.Notation().Short(limit.Bound, s.scale)), rising && limit.Side == job.Max)
		}
	}
}

func (s *spread) edges() []float64 {
	shown := make([]float64, len(s.of.Histogram.Edges))
	for i, edge := range s.of.Histogram.Edges {
		shown[i] = s.scale.In(edge)
	}
	return shown
}

// along is what the horizontal axis shows: all values, and the limits unless they are so far away that the
// values could not be told apart any more.
func (s *spread) along() extent {
	const farthest = 3. // times what the values span
	e := emptyExtent().with(s.edges()...)
	reach := farthest * math.Max(e.span(), 0.02*math.Abs(e.high))
	shown := extent{e.low - reach, e.high + reach}
	for _, limit := range s.of.Limits {
		if x := s.scale.In(limit.Bound); shown.contains(x) {
			e = e.with(x)
		}
	}
	return e.padded(0.04)
}

// tallest is the largest number of cells that a column or a curve reaches.
func (s *spread) tallest() float64 {
	most := 1.
	for _, n := range s.of.Histogram.Counts {
		most = math.Max(most, float64(n))
	}
	if s.of.Adopted >= 0 {
		for _, at := range s.density(&s.of.Fits[s.of.Adopted], s.along()) {
			most = math.Max(most, math.Min(at.Y, 2*most))
		}
	}
	return most
}

// density is a distribution as numbers of cells a column.
func (s *spread) density(d *health.DistributionFit, along extent) (points plotter.XYs) {
	edges := s.of.Histogram.Edges
	if len(edges) < 2 || !(d.Scale > 0) {
		return nil
	}
	const count = 120
	area := float64(s.of.Summary.Count) * s.scale.In(edges[1]-edges[0]) // of all columns
	for i := range count + 1 {
		x := along.low + along.span()*float64(i)/count
		y, slope := s.onto(d, x)
		z := (y - d.Location) / d.Scale
		if v := area * slope * math.Exp(-z*z/2) / (d.Scale * math.Sqrt(2*math.Pi)); drawable(v) {
			points = append(points, plotter.XY{X: x, Y: v})
		}
	}
	return points
}

// onto is a place on the axis on the scale on which a distribution is normal, and the slope of that scale.
func (s *spread) onto(d *health.DistributionFit, x float64) (y, slope float64) {
	value := x * math.Pow(10, float64(s.scale.Power))
	unit := value / x
	if x == 0 {
		unit = math.Pow(10, float64(s.scale.Power))
	}
	if d.Law == "lognormal" {
		return math.Log(value), unit / value
	}
	return value, unit
}

// legend names the distributions.
func (s *spread) legend(l lettering) legend {
	key := legend{text: l}
	for i := range s.of.Fits {
		line := s.law(i)
		key.entries = append(key.entries, entry{sampleOf(&line, nil), s.words.Say("term.law."+s.of.Fits[i].Law, nil)})
	}
	return key
}
