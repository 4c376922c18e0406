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

// growth draws both growths of a cell over time, with their limits.
func (s *sheet) growth(i int, c *health.Cell, lines []limitLine, at string) {
	rows := s.plan.result[i]
	if len(rows) == 0 {
		return
	}
	y := extent{1, 1}
	var series []excelize.ChartSeries
	column := func(key string) string { return s.place("results", s.measured.letter(key), rows[0], rows[len(rows)-1]) }
	for n, g := range growing {
		series = append(series, s.growthSeries(c, g.quantity, column("measured_at"), column(string(g.quantity)), g.colour, n, &y))
	}
	for _, l := range lines {
		series = append(series, line(quotedName(s.limitName(l)), s.across(firstRow), s.across(l.row), s.colourOf(l.Quantity), 1.5, excelize.LineDashDash))
		y.include(l.Bound)
	}
	from, to := s.span()
	margin := max(1, (to-from)*0.03)
	length := step((y.high - y.low) * 1.2)
	low, high := math.Floor(y.low/length-0.1)*length, math.Ceil(y.high/length+0.1)*length
	s.chart(at, &excelize.Chart{
		Type: excelize.Scatter, Series: series, Title: heading(s.say("growth")),
		XAxis: axis("", "yyyy-mm", from-margin, to+margin), YAxis: axis(s.say("growth_axis"), "0.0#", low, high),
		Legend: excelize.ChartLegend{Position: "bottom"}, Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		Border: excelize.LineOptions{Type: excelize.LineNone}, ShowBlanksAs: "gap",
	}, axes{plot: inner, stepY: length})
}

// growthSeries draws what there is of a growth and makes room for it.
func (s *sheet) growthSeries(c *health.Cell, q job.Quantity, x, y, colour string, n int, room *extent) excelize.ChartSeries {
	for k := range c.Measurements {
		if v := report.Measured(&c.Measurements[k], q); v.Known() {
			room.include(v.Estimate())
		}
	}
	series := dots(quotedName(s.say("column."+string(q))), x, y, colour, n)
	series.Line, series.Fill = excelize.LineOptions{Type: excelize.LineSolid, Width: 1}, plain(colour)
	return series
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
	return inSheet(s.name, "$B$"+number(row)+":$C$"+number(row))
}
