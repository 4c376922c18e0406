package figure

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// growth is the figure of how a cell's resistances grew over their baselines.
type growth struct {
	words    *report.Words
	cell     string
	axis     progress
	factor   float64 // coverage factor of the bars
	rule     job.DecisionRuleKind
	unplaced int // measurements whose place along the axis is not known
	panels   []growthPanel
}

// growthPanel is the growth of one resistance.
type growthPanel struct {
	quantity  job.Quantity
	grown     interval
	judged    plotter.XYs // the measurement that is judged, at most one
	refused   plotter.XYs // not accepted, yet with a growth
	missing   []float64   // places of accepted measurements without a growth
	discarded []float64   // places of others without a growth
	reason    string      // why the latest growth that is missing is so
	criteria  []health.Criterion
}

// interval holds points with what they may deviate.
type interval struct {
	points    plotter.XYs
	low, high []float64
}

// Growth draws the growth of a cell's resistances with limits and guard bands, against "days", "cycles" or
// "throughput_ah", the words of health.Trend.Against.
func Growth(d *report.Document, cell *health.Cell, against string) Figure {
	g := newGrowth(d, cell, progressOf(against))
	return Figure{
		Name:    figureName(cell.Name, "growth-"+g.axis.name),
		Caption: g.caption(),
		Width:   figureWidth,
		Height:  g.height(),
		Draw:    g.draw,
	}
}

// growths are the resistances whose growth may be drawn, in the order of the panels.
var growths = []struct {
	quantity job.Quantity
	of       func(m *health.Measurement) health.Growth
	always   bool // drawn whether or not a limit names it
}{
	{job.ChargeTransferGrowth, func(m *health.Measurement) health.Growth { return m.ChargeTransferGrowth }, true},
	{job.OhmicGrowth, func(m *health.Measurement) health.Growth { return m.OhmicGrowth }, true},
	{job.TotalResistanceGrowth, func(m *health.Measurement) health.Growth { return m.TotalGrowth }, false},
}

func newGrowth(d *report.Document, cell *health.Cell, along progress) *growth {
	rule := d.Assessment.Job.DecisionRule
	g := &growth{words: d.Words, cell: cell.Name, axis: along, factor: rule.CoverageFactor, rule: rule.Kind}
	if !(g.factor > 0) {
		g.factor = 2
	}
	for i := range cell.Measurements {
		if _, placed := along.of(cell.Measurements[i].Row); !placed {
			g.unplaced++
		}
	}
	for _, kind := range growths {
		p := growthPanel{quantity: kind.quantity}
		for _, c := range cell.Criteria {
			if c.Quantity == kind.quantity && drawable(c.Limit) {
				p.criteria = append(p.criteria, c)
			}
		}
		if kind.always || len(p.criteria) > 0 {
			g.panels = append(g.panels, g.filled(p, cell, kind.of))
		}
	}
	return g
}

// filled puts a cell's measurements into a panel.
func (g *growth) filled(p growthPanel, cell *health.Cell, of func(*health.Measurement) health.Growth) growthPanel {
	for i := range cell.Measurements {
		m := &cell.Measurements[i]
		x, placed := g.axis.of(m.Row)
		if !placed {
			continue
		}
		p.add(x, of(m), counts(m), i == cell.Latest, g.factor)
	}
	return p
}

func (p *growthPanel) add(x float64, v health.Growth, accepted, judged bool, factor float64) {
	ratio := v.Ratio.Estimate()
	known := v.Ratio.Known() && drawable(ratio) && ratio > 0
	switch at := (plotter.XY{X: x, Y: ratio}); {
	case accepted && known:
		p.grown.add(at, v.LogU*factor)
		if judged {
			p.judged = plotter.XYs{at}
		}
	case known:
		p.refused = append(p.refused, at)
	case accepted:
		p.missing, p.reason = append(p.missing, x), v.Reason
	default:
		p.discarded = append(p.discarded, x)
	}
}

// add appends a ratio whose logarithm may deviate by so much.
func (i *interval) add(at plotter.XY, logDeviation float64) {
	if !drawable(logDeviation) {
		logDeviation = 0
	}
	i.points = append(i.points, at)
	i.low = append(i.low, at.Y*math.Exp(-logDeviation))
	i.high = append(i.high, at.Y*math.Exp(logDeviation))
}

// places are where points and their bars stand.
func (i *interval) places(area draw.Canvas, p *plot.Plot) []vg.Point {
	const pieces = 8
	list := toCanvas(area, p, i.points)
	for k, v := range i.points {
		for step := range pieces + 1 {
			y := i.low[k] + (i.high[k]-i.low[k])*float64(step)/pieces
			list = append(list, toCanvas(area, p, plotter.XYs{{X: v.X, Y: y}})...)
		}
	}
	return list
}

// extent is what the panel's vertical axis shows: the bars, the baseline, and the limits unless they are so
// far away that the growth could not be read any more.
func (p *growthPanel) extent() extent {
	const farthest = 20. // times the growth itself
	e := emptyExtent().with(1).with(p.grown.low...).with(p.grown.high...)
	for _, r := range p.refused {
		e = e.with(r.Y)
	}
	reach := farthest * math.Max(e.span(), 0.05)
	shown := extent{e.low - reach, e.high + reach}
	for _, c := range p.criteria {
		if shown.contains(c.Limit) {
			e = e.with(c.Limit)
		}
	}
	return e
}

func (p *growthPanel) empty() bool { return len(p.grown.points)+len(p.refused) == 0 }

type growthCaption struct {
	Cell, Against, Coverage                     string
	Limits, Guard, Refused, Missing, NoBaseline bool
	Unplaced                                    int
}

func (g *growth) caption() string {
	data := growthCaption{Cell: g.cell, Against: g.axis.name, Coverage: g.words.Notation().Coverage(g.factor),
		Unplaced: g.unplaced, NoBaseline: true}
	for _, p := range g.panels {
		data.Limits = data.Limits || len(p.criteria) > 0
		data.Refused = data.Refused || len(p.refused)+len(p.discarded) > 0
		data.Missing = data.Missing || len(p.missing) > 0
		data.NoBaseline = data.NoBaseline && p.empty()
		for _, c := range p.criteria {
			data.Guard = data.Guard || guarded(c)
		}
	}
	return g.words.Say("figure.growth.caption", data)
}

// height of the figure in mm.
func (g *growth) height() float64 {
	const panelHeight, legendHeight = 31., 9.
	return float64(len(g.panels))*(panelHeight+float64(headRoom)/pointsPerMM) + axisHeight + legendHeight
}
