package xlsx

import (
	"math"

	"github.com/xuri/excelize/v2"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// growing are the growths that are drawn, each in a colour and with a symbol of its own: blue and
// vermilion of Okabe and Ito (2008).
var growing = []struct {
	quantity job.Quantity
	colour   string
}{{job.ChargeTransferGrowth, "0072B2"}, {job.OhmicGrowth, "D55E00"}}

// Columns of a growth chart's numbers: two a growth for its bars, then the acceptance limits.
const (
	barsFirst       = 0
	acceptanceFirst = 5
)

// growth draws both growths of a cell over time with their expanded uncertainties, limits and acceptance limits. It
// returns the row after the chart.
func (s *sheet) growth(i int, c *health.Cell, lines []limitLine, row int) int {
	rows := s.plan.result[i]
	if len(rows) == 0 {
		return s.block(row, chartRows, nil)
	}
	y := extent{1, 1}
	a := axes{plot: inner}
	var series []excelize.ChartSeries
	column := func(key string) string { return s.place("results", s.measured.letter(key), rows[0], rows[len(rows)-1]) }
	for n, g := range growing {
		series = append(series, s.growthSeries(c, g.quantity, column("measured_at"), column(string(g.quantity)), g.colour, n, &y))
		bar := func(k int) string { return s.down(datum(barsFirst+2*n+k), row, row+len(rows)-1) }
		a.bars = append(a.bars, errorBars{series: n, minus: bar(0), plus: bar(1), colour: g.colour})
	}
	for _, l := range lines {
		series = append(series, line(quotedName(s.limitName(l)), s.across(firstRow), s.across(l.row), s.colourOf(l.Quantity), 1.5, excelize.LineDashDash))
		y.include(l.Bound)
	}
	data, accepted := s.growthData(i, c, lines, row)
	a.unlisted = from(len(series), len(series)+len(accepted))
	series = append(series, accepted...)
	s.drawGrowth(growthAt+number(row), series, y, a)
	return s.block(row, chartRows, data)
}

func (s *sheet) drawGrowth(at string, series []excelize.ChartSeries, y extent, a axes) {
	from, to := s.plan.first, s.plan.last
	margin := max(1, (to-from)*0.03)
	a.stepY = step((y.high - y.low) * 1.2)
	low, high := math.Floor(y.low/a.stepY-0.1)*a.stepY, math.Ceil(y.high/a.stepY+0.1)*a.stepY
	s.chart(at, &excelize.Chart{
		Type: excelize.Scatter, Series: series, Title: heading(s.say("growth")),
		XAxis: axis("", "yyyy-mm", from-margin, to+margin), YAxis: axis(s.say("growth_axis"), "0.0#", low, high),
		Legend: excelize.ChartLegend{Position: "bottom"}, Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		Border: excelize.LineOptions{Type: excelize.LineNone}, ShowBlanksAs: "gap",
	}, a)
}

// growthSeries draws what there is of a growth and makes room for it.
func (s *sheet) growthSeries(c *health.Cell, q job.Quantity, x, y, colour string, n int, room *extent) excelize.ChartSeries {
	for k := range c.Measurements {
		if v := report.Measured(&c.Measurements[k], q); v.Known() {
			down, up := s.bars(v.Estimate(), v.StandardUncertainty())
			room.include(v.Estimate() - down)
			room.include(v.Estimate() + up)
		}
	}
	series := dots(quotedName(s.say("column."+string(q))), x, y, colour, n)
	series.Line, series.Fill = excelize.LineOptions{Type: excelize.LineSolid, Width: 1}, plain(colour)
	return series
}

// bars are how far the coverage interval of a growth reaches downwards and upwards: even about its logarithm.
func (s *sheet) bars(growth, u float64) (down, up float64) {
	half := s.doc.Assessment.Job.DecisionRule.CoverageFactor * u / growth
	return growth - growth*math.Exp(-half), growth*math.Exp(half) - growth
}

// barHeads are those of a growth chart's numbers.
func (s *sheet) barHeads() (heads []cell) {
	h := look{head: true, side: "right"}
	for _, g := range growing {
		name := s.say("column." + string(g.quantity))
		heads = append(heads, words(s.say("bar_down", name), h), words(s.say("bar_up", name), h))
	}
	return heads
}

// growthData are the numbers of a growth chart: the lengths of the bars, and the ends of the acceptance limits' lines.
func (s *sheet) growthData(i int, c *health.Cell, lines []limitLine, row int) (data [][]cell, series []excelize.ChartSeries) {
	data = make([][]cell, max(len(c.Measurements), len(lines)))
	for k := range data {
		data[k] = make([]cell, dataColumns)
	}
	for k := range c.Measurements {
		for n, g := range growing {
			if v := report.Measured(&c.Measurements[k], g.quantity); v.Known() {
				data[k][barsFirst+2*n], data[k][barsFirst+2*n+1] = s.bar(g.quantity, s.plan.result[i][k], v.Estimate(), v.StandardUncertainty())
			}
		}
	}
	for k, l := range lines {
		if l.i >= len(c.Criteria) || !c.Criteria[l.i].Value.Known() || !finite(c.Criteria[l.i].AcceptanceLimit) {
			continue
		}
		name := s.say("acceptance_of", s.quantity(l.Quantity))
		end := cell{value: c.Criteria[l.i].AcceptanceLimit, formula: inSheet(s.sheetName("criteria"), s.judged.at("acceptance", s.plan.criterion[i]+l.i))}
		data[k][acceptanceFirst], data[k][acceptanceFirst+1], data[k][acceptanceFirst+2] = words(name, look{}), end, end
		at := inSheet(s.name, "$"+datum(acceptanceFirst+1)+"$"+number(row+k)+":$"+datum(acceptanceFirst+2)+"$"+number(row+k))
		series = append(series, line(quotedName(name), s.across(firstRow), at, s.colourOf(l.Quantity), 1, excelize.LineDashSysDot))
	}
	return data, series
}

// bar are the two lengths of a growth's error bar as formulas on a row of the results.
func (s *sheet) bar(q job.Quantity, row int, growth, u float64) (down, up cell) {
	place := func(key string) string { return inSheet(s.sheetName("results"), s.measured.at(key, row)) }
	value, half := place(string(q)), nameFactor+"*"+place("u "+string(q))+"/"+place(string(q))
	below, above := s.bars(growth, u)
	return cell{value: below, formula: value + "-" + value + "*EXP(-" + half + ")"}, cell{value: above, formula: value + "*EXP(" + half + ")-" + value}
}

func (s *sheet) limitName(l limitLine) string {
	return s.say("limit_of", map[string]any{"Quantity": s.say("column." + string(l.Quantity)), "Side": s.side(l.Side)})
}

func (s *sheet) colourOf(q job.Quantity) string {
	for _, g := range growing {
		if g.quantity == q {
			return g.colour
		}
	}
	return ink
}

// across are the two ends of a limit's line.
func (s *sheet) across(row int) string {
	return inSheet(s.name, "$"+datum(1)+"$"+number(row)+":$"+datum(2)+"$"+number(row))
}
