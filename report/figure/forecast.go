package figure

import (
	"image/color"
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// forecast is the figure of where one quantity of a cell leads: an opinion, never a result.
type forecast struct {
	words  *report.Words
	trend  *health.Trend
	axis   progress
	origin float64 // of the trend's places on the figure's axis
	factor float64 // coverage factor of the bars
	scale  notation.Scale
}

// Forecast draws the i-th trend of a cell: the measurements, the law that describes them, the bands within
// which it is expected to go on, the limit, and where it is met. There must be a course (Drawn).
func Forecast(d *report.Document, cell *health.Cell, i int) Figure {
	f := newForecast(d, cell, i)
	name := "forecast-" + strconv.Itoa(i+1) + "-" + string(f.trend.Quantity)
	return Figure{
		Name:    figureName(cell.Name, name),
		Caption: d.Words.Say("figure.forecast.caption", map[string]any{"Cell": cell.Name, "Quantity": d.Words.Quantity(f.trend.Quantity)}),
		Width:   figureWidth,
		Height:  forecastHeight,
		Draw:    f.draw,
	}
}

// forecastHeight is that of the figure in mm.
const forecastHeight = 37.

// Forecastable reports whether a trend has a course that can be drawn.
func Forecastable(t *health.Trend) bool {
	return t.Course != nil && len(t.Course.Fan) > 1 && len(t.Course.Curve) > 1 && drawable(t.Course.Limit.Bound)
}

func newForecast(d *report.Document, cell *health.Cell, i int) *forecast {
	t := &cell.Trend[i]
	f := &forecast{words: d.Words, trend: t, axis: progressOf(t.Against), factor: d.Assessment.Job.DecisionRule.CoverageFactor}
	if !(f.factor > 0) {
		f.factor = 2
	}
	if t.Against == "days" { // since the first point
		f.origin = onAxis(cell.Measurements[t.Course.Points[0].Measurement].Row.MeasuredAt)
	}
	f.scale = notation.UnitOf(t.Quantity).Scale(fit.NewValue(drawableOr0(t.Course.Limit.Bound), 0))
	return f
}

// The looks of a forecast.
var (
	courseColour     = faded(blue, 0.34)
	toComeColour     = faded(blue, 0.14)
	courseLine       = draw.LineStyle{Color: blue, Width: stroke}
	continuedLine    = draw.LineStyle{Color: blue, Width: stroke, Dashes: []vg.Length{2.5, 2}}
	crossingLine     = draw.LineStyle{Color: ink, Width: 1.6}
	crossingMark     = mark{shape: diamond, radius: 2.6, colour: ink}
	forecastDotted   = draw.LineStyle{Color: quiet, Width: axis, Dashes: []vg.Length{1, 2}}
	forecastHeadroom = 0.15
)

func (f *forecast) draw(c draw.Canvas) {
	l := newLettering()
	panels := []panel{{plot: f.plot(l, int((c.Max.X-c.Min.X)/50)), head: f.words.Quantity(f.trend.Quantity), axis: f.scale.Symbol}}
	area := stack(draw.Crop(c, 2, -4, 0, 0), l, f.words.Say("figure.growth.against."+f.axis.name, nil), panels)[0]
	inner := innerLabels{style: l.regular(smallSize, ink), area: area, avoid: f.places(area, panels[0].plot)}
	limit := f.trend.Course.Limit
	for _, at := range toCanvas(area, panels[0].plot, plotter.XYs{{X: panels[0].plot.X.Min, Y: f.scale.In(limit.Bound)}}) {
		inner.write(at.Y, f.words.Say("figure.limit", f.words.Notation().Short(limit.Bound, f.scale)))
	}
}

// plot is everything within the frame.
func (f *forecast) plot(l lettering, labels int) *plot.Plot {
	p, course := newPlot(l), f.trend.Course
	along := extent{f.place(course.From), f.place(course.To)}.padded(0.02)
	p.X.Min, p.X.Max = along.low, along.high
	p.X.Tick.Marker = f.axis.ticker(along, labels, f.words.Notation())
	verticalAxis(p, f.extent(), forecastHeadroom, f.words.Notation())
	last := course.Points[len(course.Points)-1].Place
	points := f.points()
	p.Add(f.ribbon(toComeColour, func(b health.CourseBand) fit.Interval { return b.Prediction }),
		f.ribbon(courseColour, func(b health.CourseBand) fit.Interval { return b.Confidence }),
		plumb{forecastDotted, f.place(last)}, level{limitStyle(), f.scale.In(course.Limit.Bound)},
		smooth{courseLine, f.line(course.Curve, func(b health.CourseBand) bool { return b.Place <= last })},
		smooth{continuedLine, f.line(course.Fan, func(health.CourseBand) bool { return true })},
		bars{draw.LineStyle{Color: ink, Width: 0.7}, points.points, points.low, points.high},
		marks{mark{shape: disc, radius: 1.5, colour: ink}, points.points})
	if f.trend.Crosses != nil {
		p.Add(f.meeting())
	}
	p.Add(frame{})
	return p
}

func (f *forecast) place(x float64) float64 { return f.origin + x }

// extent of the vertical axis: points, bands and the limit, unless the bands are so wide that the points
// could not be read any more.
func (f *forecast) extent() extent {
	points := f.points()
	e := emptyExtent().with(points.low...).with(points.high...).with(f.scale.In(f.trend.Course.Limit.Bound))
	const widest = 1.5 // times what points and limit span
	reach := extent{e.low - widest*e.span(), e.high + widest*e.span()}
	for _, b := range f.trend.Course.Fan {
		for _, v := range []float64{b.Prediction.Lower, b.Prediction.Upper} {
			if y := f.scale.In(v); drawable(y) && e.span() > 0 {
				e = e.with(min(max(y, reach.low), reach.high))
			}
		}
	}
	return e
}

// points with the part of their uncertainty that makes them scatter.
func (f *forecast) points() (i interval) {
	for _, p := range f.trend.Course.Points {
		at, own := plotter.XY{X: f.place(p.Place), Y: f.scale.In(p.Value)}, 0.
		if drawable(p.Own) {
			own = f.factor * f.scale.In(p.Own)
		}
		i.points = append(i.points, at)
		i.low, i.high = append(i.low, at.Y-own), append(i.high, at.Y+own)
	}
	return i
}

func (f *forecast) line(bands []health.CourseBand, shown func(health.CourseBand) bool) (points plotter.XYs) {
	for _, b := range bands {
		if shown(b) && drawable(b.Value) {
			points = append(points, plotter.XY{X: f.place(b.Place), Y: f.scale.In(b.Value)})
		}
	}
	return points
}

func (f *forecast) ribbon(colour color.NRGBA, of func(health.CourseBand) fit.Interval) ribbon {
	r := ribbon{fill: colour}
	for _, b := range f.trend.Course.Fan {
		if i := of(b); drawable(i.Lower) && drawable(i.Upper) {
			r.along = append(r.along, f.place(b.Place))
			r.low, r.high = append(r.low, f.scale.In(i.Lower)), append(r.high, f.scale.In(i.Upper))
		}
	}
	return r
}

// meeting lies on the limit where that is met.
func (f *forecast) meeting() meeting {
	x, within := f.trend.Crosses, f.trend.Crosses.WithShared
	end := math.Min(within.Upper, f.trend.Course.To)
	return meeting{f.place(x.Value), f.place(within.Lower), f.place(end), end == within.Upper, f.scale.In(f.trend.Course.Limit.Bound)}
}

// places that no label should hide.
func (f *forecast) places(area draw.Canvas, p *plot.Plot) []vg.Point {
	points := f.points()
	list := points.places(area, p)
	return append(append(list, toCanvas(area, p, f.line(f.trend.Course.Curve, func(health.CourseBand) bool { return true }))...),
		toCanvas(area, p, f.line(f.trend.Course.Fan, func(health.CourseBand) bool { return true }))...)
}
