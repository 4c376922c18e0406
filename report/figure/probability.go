package figure

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// ProbabilityPlot draws the ordered values of a lot's quantity against the share of cells below them, on an axis on
// which a normal distribution is a straight line.
func ProbabilityPlot(d *report.Document, q *health.LotQuantity) Figure {
	s := newSpread(d, q)
	return Figure{
		Name:    figureName("lot", "probability-"+string(q.Quantity)),
		Caption: s.caption("figure.probability.caption"),
		Width:   figureWidth,
		Height:  spreadHeight,
		Draw:    s.drawProbability,
	}
}

var probabilityMark = mark{shape: disc, radius: 1.25, colour: blue}

func (s *spread) drawProbability(c draw.Canvas) {
	l := newLettering()
	if len(s.of.Fits) == 0 {
		nothing(c, l, s.words.Say("figure.probability.none", nil))
		return
	}
	p := newPlot(l)
	along, reach := s.along(), s.reach()
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = along.low, along.high, -reach, reach*1.1
	p.X.Tick.Marker = steps{niceStep(along.span(), int((c.Max.X-c.Min.X)/45)), s.words.Notation()}
	p.Y.Tick.Marker = shares{s.words.Notation()}
	for _, limit := range s.of.Limits {
		p.Add(plumb{limitStyle(), s.scale.In(limit.Bound)})
	}
	for i := range s.of.Fits {
		p.Add(smooth{s.law(i), s.quantiles(&s.of.Fits[i], along)})
	}
	var points plotter.XYs
	for _, v := range s.of.Fits[0].Plot {
		points = append(points, plotter.XY{X: s.scale.In(v.Value), Y: v.Normal})
	}
	p.Add(marks{probabilityMark, points}, frame{})
	s.write(c, l, p, s.words.Say("figure.probability.axis", nil), true)
}

// reach is the normal quantile that the vertical axis goes to on either side.
func (s *spread) reach() float64 {
	most := 2.5
	for _, v := range s.of.Fits[0].Plot {
		most = math.Max(most, 1.08*math.Abs(v.Normal))
	}
	return most
}

// quantiles is a distribution as normal quantiles.
func (s *spread) quantiles(d *health.DistributionFit, along extent) (points plotter.XYs) {
	const count = 40
	for i := range count + 1 {
		x := along.low + along.span()*float64(i)/count
		if y, _ := s.onto(d, x); d.Scale > 0 && drawable((y-d.Location)/d.Scale) {
			points = append(points, plotter.XY{X: x, Y: (y - d.Location) / d.Scale})
		}
	}
	return points
}

// shares ticks an axis of normal quantiles by the per cent of a population that lie below.
type shares struct{ notation notation.Notation }

// Ticks implements plot.Ticker.
func (s shares) Ticks(low, high float64) (ticks []plot.Tick) {
	for _, of := range []struct {
		perCent  float64
		decimals int
		labelled bool
	}{{0.1, 1, true}, {1, 0, true}, {5, 0, false}, {10, 0, true}, {25, 0, false}, {50, 0, true}, {75, 0, false}, {90, 0, true},
		{95, 0, false}, {99, 0, true}, {99.9, 1, true}} {
		z := distuv.UnitNormal.Quantile(of.perCent / 100)
		if z < low || z > high {
			continue
		}
		tick := plot.Tick{Value: z}
		if of.labelled {
			tick.Label = s.notation.Percentage(of.perCent/100, of.decimals)
		}
		ticks = append(ticks, tick)
	}
	return ticks
}
