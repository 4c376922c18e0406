package xlsx

import (
	"math"
	"slices"

	"github.com/xuri/excelize/v2"

	"ohmledger/health"
	"ohmledger/health/sampling"
)

// characteristic draws the operating characteristic of a plan over its table, with the two qualities whose risks are
// stated: the acceptable one, and the one that is still accepted with 10 %.
func (s *sheet) characteristic(row int, i *health.Inspection) {
	if len(i.Curve) == 0 {
		return
	}
	const limiting = 0.10 // of acceptance, at the limiting quality (MIL-STD-105E, 4.11)
	c := newColumns[sampling.OperatingPoint]()
	c.figure(s.book, "oc_quality", func(p sampling.OperatingPoint) cell { return number64(p.PercentNonconforming, "0.00") })
	c.figure(s.book, "oc_acceptance", func(p sampling.OperatingPoint) cell { return number64(100*p.Acceptance, "0.0") })
	risks := []sampling.OperatingPoint{{PercentNonconforming: i.AQL, Acceptance: 1 - i.ProducersRisk}, {PercentNonconforming: i.LimitingPercent, Acceptance: limiting}}
	s.row(row, words(s.say("oc.risks"), look{bold: true}))
	atRisks := row + 2
	row = table(s, "sampling_risks", atRisks, c, slices.Values(risks)) + 1
	s.row(row, words(s.say("oc.tabulated"), look{bold: true}))
	row = table(s, "sampling_qualities", row+2, c, slices.Values(i.Qualities)) + 1
	s.row(row, words(s.say("oc.curve"), look{bold: true}))
	after := table(s, "operating_characteristic", row+2, c, slices.Values(i.Curve))
	s.drawCharacteristic("D"+number(atRisks-1), i, atRisks, row+2, after-1)
}

func (s *sheet) drawCharacteristic(at string, i *health.Inspection, risks, first, last int) {
	x, y := func(from, to int) string { return s.down("A", from, to) }, func(from, to int) string { return s.down("B", from, to) }
	most := i.Curve[len(i.Curve)-1].PercentNonconforming
	length := step(most)
	s.chart(at, &excelize.Chart{
		Type: excelize.Scatter, Title: heading(s.say("oc")),
		Series: []excelize.ChartSeries{
			line(quotedName(s.say("oc.plan")), x(first, last), y(first, last), growing[0].colour, 2, excelize.LineDashUnset),
			dots(quotedName(s.say("oc.aql")), x(risks, risks), y(risks, risks), growing[1].colour, 0),
			dots(quotedName(s.say("oc.limiting")), x(risks+1, risks+1), y(risks+1, risks+1), growing[1].colour, 2),
		},
		XAxis: axis(s.say("column.oc_quality"), "General", 0, math.Ceil(most/length)*length), YAxis: axis(s.say("column.oc_acceptance"), "0", 0, 100),
		Legend: excelize.ChartLegend{Position: "bottom"}, Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		Border: excelize.LineOptions{Type: excelize.LineNone},
	}, axes{plot: inner, stepX: length, stepY: 20})
}
