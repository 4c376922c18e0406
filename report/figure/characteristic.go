package figure

import (
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/health"
	"ohmledger/report"
)

// OperatingCharacteristic draws with what probability a sampling plan accepts lots of which quality, and what it
// risks at the acceptable quality level and at the limiting quality.
func OperatingCharacteristic(d *report.Document, i *health.Inspection) Figure {
	o := &characteristic{d.Words, i}
	return Figure{
		Name:    figureName("lot", "operating-characteristic"),
		Caption: d.Words.Say("figure.characteristic.caption", map[string]any{"Law": string(i.Law)}),
		Width:   figureWidth,
		Height:  spreadHeight,
		Draw:    o.draw,
	}
}

// characteristic is the operating characteristic of a sampling plan.
type characteristic struct {
	words *report.Words
	of    *health.Inspection
}

func (o *characteristic) draw(c draw.Canvas) {
	l := newLettering()
	if len(o.of.Curve) < 2 {
		nothing(c, l, o.words.Say("figure.characteristic.none", nil))
		return
	}
	p := newPlot(l)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, o.of.Curve[len(o.of.Curve)-1].PercentNonconforming, 0, 104
	p.X.Tick.Marker = steps{niceStep(p.X.Max, int((c.Max.X-c.Min.X)/45)), o.words.Notation()}
	p.Y.Tick.Marker = steps{20, o.words.Notation()}
	var line plotter.XYs
	for _, v := range o.of.Curve {
		line = append(line, plotter.XY{X: v.PercentNonconforming, Y: 100 * v.Acceptance})
	}
	risks := o.risks()
	p.Add(smooth{draw.LineStyle{Color: blue, Width: 1.1}, line})
	for _, r := range risks {
		p.Add(curve{draw.LineStyle{Color: vermilion, Width: stroke, Dashes: dashed()}, plotter.XYs{{X: r.at.X, Y: 0}, r.at, {X: 0, Y: r.at.Y}}},
			marks{mark{shape: diamond, radius: 2.2, colour: vermilion}, plotter.XYs{r.at}})
	}
	p.Add(frame{})
	panels := []panel{{plot: p, axis: o.words.Say("figure.characteristic.axis", nil)}}
	area := stack(draw.Crop(c, 2, -4, 0, vg.Length(headRoom)-4), l, o.words.Say("figure.characteristic.quality", nil), panels)[0]
	style := l.regular(smallSize, ink)
	style.XAlign = draw.XLeft
	for _, r := range risks {
		for _, at := range toCanvas(area, p, plotter.XYs{r.at}) {
			place(&area, style, vg.Point{X: at.X + 5, Y: at.Y + 2}, shortened(style, r.label, area.Max.X-at.X-8))
		}
	}
}

// risk is a point of the characteristic with its name.
type risk struct {
	at    plotter.XY
	label string
}

// risks are the producer's at the acceptable quality level and the consumer's at the limiting quality.
func (o *characteristic) risks() (list []risk) {
	const consumers = 10. // per cent: the probability that defines the limiting quality
	if o.of.AQL > 0 && drawable(o.of.ProducersRisk) {
		list = append(list, risk{plotter.XY{X: o.of.AQL, Y: 100 * (1 - o.of.ProducersRisk)}, o.words.Say("figure.characteristic.producer", nil)})
	}
	if o.of.LimitingPercent > 0 && drawable(o.of.LimitingPercent) {
		list = append(list, risk{plotter.XY{X: o.of.LimitingPercent, Y: consumers}, o.words.Say("figure.characteristic.consumer", nil)})
	}
	return list
}
