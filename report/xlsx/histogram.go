package xlsx

import (
	"math"
	"strconv"

	"github.com/xuri/excelize/v2"
)

// histogramFrom is the number of values from which their distribution is drawn.
const histogramFrom = 12

// Columns of a histogram's table, beside its chart.
const (
	binsBeside            = 8 // columns before the table
	binFrom, binTo, binIn = "I", "J", "K"
)

// bin is an interval of values, its upper end left out, with how many are in it.
type bin struct {
	from, to float64
	n        int
}

// histograms draw the distribution of every quantity that a limit names, where there are enough cells.
func (s *sheet) histograms(row int) int {
	for _, l := range s.list {
		if values := s.valuesAgainst(l); len(values) >= histogramFrom {
			row = s.histogram(s.blank(row, 1), l, binned(values))
		}
	}
	return row
}

// valuesAgainst are the values judged against a limit, in its scale.
func (s *sheet) valuesAgainst(l limit) (values []float64) {
	for _, c := range s.doc.Assessment.Cells {
		if v := c.Criteria[l.i].Value; v.Known() {
			values = append(values, l.scale.In(v.Estimate()))
		}
	}
	return values
}

// binned counts values in intervals of a round width.
func binned(values []float64) []bin {
	within := extent{math.Inf(1), math.Inf(-1)}
	for _, v := range values {
		within.include(v)
	}
	width := step(within.high - within.low)
	if !(width > 0) {
		width = math.Max(math.Abs(within.low), 1) / 10
	}
	first := math.Floor(within.low / width)
	bins := make([]bin, int(math.Floor(within.high/width)-first)+1)
	for i := range bins {
		bins[i].from, bins[i].to = rounded((first+float64(i))*width), rounded((first+float64(i)+1)*width)
	}
	for _, v := range values {
		for i := range bins {
			if v >= bins[i].from && v < bins[i].to {
				bins[i].n++
			}
		}
	}
	return bins
}

// rounded takes away what multiplying by a decimal step leaves in the last binary digits.
func rounded(x float64) float64 {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	return x
}

// histogram writes a table of intervals whose counts are formulas on the criteria, and draws it.
func (s *sheet) histogram(row int, l limit, bins []bin) int {
	name := withUnit(s.quantity(l.Quantity), l.scale)
	head := look{head: true, side: "right"}
	at := func(cells ...cell) []cell { return append(make([]cell, binsBeside), cells...) }
	title := at(words(s.say("from"), head), words(s.say("to"), head), words(s.say("cells"), head))
	title[0] = words(name, look{bold: true})
	s.row(row, title...)
	for i, b := range bins {
		s.row(row+1+i, at(cell{value: b.from}, cell{value: b.to}, cell{value: b.n, formula: s.countIn(l, row+1+i)})...)
	}
	last := row + len(bins)
	s.drawBins("A"+number(row+1), name, l, row+1, last)
	return s.blank(last+1, max(0, chartRows-len(bins)))
}

// countIn counts the values judged against a limit in the interval of a row.
func (s *sheet) countIn(l limit, row int) string {
	end := s.plan.criterion[len(s.plan.criterion)-1] + len(s.doc.Assessment.Cells[len(s.plan.criterion)-1].Criteria) - 1
	value, no := s.place("criteria", s.judged.letter("value"), firstRow, end), s.place("criteria", s.judged.letter("no"), firstRow, end)
	return "COUNTIFS(" + no + "," + number(l.i+1) + "," + value + `,">="&` + binFrom + number(row) + "," + value + `,"<"&` + binTo + number(row) + ")"
}

func (s *sheet) drawBins(at, name string, l limit, first, last int) {
	title := s.say("distribution", map[string]any{"Side": s.side(l.Side), "Limit": s.words.Notation().Stated(l.Bound, l.scale)})
	s.chart(at, &excelize.Chart{
		Type: excelize.Col, Title: heading(title), GapWidth: pointer(uint(4)),
		Series: []excelize.ChartSeries{{Name: quotedName(s.say("cells")), Fill: plain(growing[0].colour),
			Categories: s.place("figures", binFrom, first, last), Values: s.place("figures", binIn, first, last)}},
		XAxis:  excelize.ChartAxis{Title: axisTitle(s.say("lower_end", name)), Font: excelize.Font{Size: lettering, Color: axisColour, Family: typeface}},
		YAxis:  excelize.ChartAxis{Title: axisTitle(s.say("cells")), MajorGridLines: true, Font: excelize.Font{Size: lettering, Color: axisColour, Family: typeface}},
		Legend: excelize.ChartLegend{Position: "none"}, Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		Border: excelize.LineOptions{Type: excelize.LineNone},
	}, axes{plot: inner})
}
