package xlsx

import (
	"math"

	"github.com/xuri/excelize/v2"

	"ohmledger/health"
	"ohmledger/report/figure"
	"ohmledger/report/notation"
)

// nyquist draws −Z” over Z' with equal scales: points measured, lines fitted, a colour an age.
func (s *sheet) nyquist(i int, c *health.Cell, at string) {
	chosen := ages(c)
	if len(chosen) == 0 {
		return
	}
	var series, fitted []excelize.ChartSeries
	for n, k := range chosen {
		first := s.plan.points[i][k]
		last := first + len(c.Measurements[k].Spectrum.Frequency) - 1
		colour := hex(figure.AgeColour(float64(n) / math.Max(1, float64(len(chosen)-1))))
		column := func(key string) string { return s.place("spectra", s.points.letter(key), first, last) }
		name := quotedName(s.words.Notation().Date(c.Measurements[k].Row.MeasuredAt))
		series = append(series, dots(name, column("z_real"), column("z_minus_imag"), colour, n))
		if m := c.Measurements[k]; m.Fit != nil && len(m.Fit.Fitted) > 0 {
			fitted = append(fitted, line(quotedName(s.say("fitted")), column("fit_real"), column("fit_minus_imag"), colour, 1.25, excelize.LineDashUnset))
		}
	}
	x, y, length := equalScales(c, chosen, s.plan.resistance)
	unit := s.plan.resistance.Symbol
	s.chart(at, &excelize.Chart{
		Type: excelize.Scatter, Series: append(series, fitted...), Title: heading(s.say("nyquist")),
		XAxis: axis("Z' / "+unit, "General", x.low, x.high), YAxis: axis("−Z'' / "+unit, "General", y.low, y.high),
		Legend: excelize.ChartLegend{Position: "bottom"}, Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		Border: excelize.LineOptions{Type: excelize.LineNone},
	}, axes{plot: inner, stepX: length, stepY: length, unlisted: from(len(series), len(series)+len(fitted))})
}

// extent is what an axis covers.
type extent struct{ low, high float64 }

func (e *extent) include(x float64) { e.low, e.high = min(e.low, x), max(e.high, x) }

// equalScales covers the spectra so that a milliohm is as long along x as along y.
func equalScales(c *health.Cell, chosen []int, s notation.Scale) (x, y extent, length float64) {
	x, y = extent{math.Inf(1), math.Inf(-1)}, extent{}
	for _, k := range chosen {
		for _, z := range c.Measurements[k].Spectrum.Impedance {
			x.include(s.In(real(z)))
			y.include(s.In(-imag(z)))
		}
	}
	wide, high := inner.w*chartWidth, inner.h*chartHeight
	perPixel := math.Max((x.high-x.low)*1.1/wide, (y.high-y.low)*1.1/high)
	if !(perPixel > 0) {
		perPixel = 1 / wide
	}
	length = step(perPixel * wide)
	x.low = math.Floor(x.low/length) * length
	if y.low < 0 {
		y.low = math.Floor(y.low/length) * length
	}
	perPixel = math.Max(perPixel, math.Max((x.high-x.low)*1.05/wide, (y.high-y.low)*1.05/high))
	x.high, y.high = x.low+perPixel*wide, y.low+perPixel*high
	return x, y, length
}

// quotedName is a series' name given as it is, not as a reference.
func quotedName(s string) string { return `"` + text(s) + `"` }

func from(first, end int) (list []int) {
	for i := first; i < end; i++ {
		list = append(list, i)
	}
	return list
}
