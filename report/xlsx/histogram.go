package xlsx

import (
	"math"
	"slices"
	"strconv"

	"github.com/xuri/excelize/v2"

	"ohmledger/health/job"
)

// histogramFrom is the number of values from which their distribution is drawn.
const histogramFrom = 12

// Columns of a histogram's numbers: the intervals, then the ends of the limits' lines, then two rows of points that the
// columns are drawn through, foot, top and a gap each.
const (
	binFrom, binTo, binMiddle, binCount = 0, 1, 2, 3
	lineName, lineX, lineY              = 5, 6, 7
	pointsFirst, pointsEach             = dataColumns + 1, 3
)

// bin is an interval of values, its upper end left out, with how many are in it.
type bin struct {
	from, to float64
	n        int
}

// histograms draw the distribution of every quantity that a limit names, where there are enough cells. They return the
// next row.
func (s *sheet) histograms(row int) int {
	var drawn []job.Quantity
	for _, l := range s.list {
		if slices.Contains(drawn, l.Quantity) {
			continue
		}
		values := s.judgedValues(l)
		if len(values) < histogramFrom {
			continue
		}
		s.paged(row)
		drawn = append(drawn, l.Quantity)
		row = s.histogram(s.block(row, 1, nil), l, s.bins(l, values), values)
	}
	return row
}

// close reports whether a value is so close to an end of an interval that programs differ in where they count it.
func (b bin) close(values []float64) bool {
	const digits = 1e-12
	return slices.ContainsFunc(values, func(v float64) bool {
		return math.Abs(v-b.from) <= digits*math.Abs(v) || math.Abs(v-b.to) <= digits*math.Abs(v)
	})
}

// bins are those that describe the lot, or where it has none of round width.
func (s *sheet) bins(l limit, values []float64) []bin {
	lot := s.doc.Assessment.Lot
	if lot != nil && len(lot.Reference) == 0 {
		for _, q := range lot.Quantities {
			if q.Quantity == l.Quantity && q.Summary.Count == len(values) && len(q.Histogram.Counts) > 1 {
				edges := make([]float64, len(q.Histogram.Edges))
				for i, e := range q.Histogram.Edges {
					edges[i] = rounded(l.scale.In(e))
				}
				return counted(edges, values)
			}
		}
	}
	return counted(roundEdges(values), values)
}

// roundEdges are those of intervals of a round width that hold all values.
func roundEdges(values []float64) (edges []float64) {
	within := extent{math.Inf(1), math.Inf(-1)}
	for _, v := range values {
		within.include(v)
	}
	width := step(within.high - within.low)
	if !(width > 0) {
		width = math.Max(math.Abs(within.low), 1) / 10
	}
	first := math.Floor(within.low / width)
	for i := range int(math.Floor(within.high/width)-first) + 2 {
		edges = append(edges, rounded((first+float64(i))*width))
	}
	return edges
}

// counted counts values between edges.
func counted(edges, values []float64) []bin {
	bins := make([]bin, len(edges)-1)
	for i := range bins {
		bins[i].from, bins[i].to = edges[i], edges[i+1]
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

// histogram draws intervals whose counts are formulas on the criteria, with the limits where they are now.
func (s *sheet) histogram(row int, l limit, bins []bin, values []float64) int {
	head := look{head: true, side: "right"}
	name := withUnit(s.quantity(l.Quantity), l.scale)
	s.row(row, s.beside([]cell{words(name, look{bold: true})}, []cell{words(s.say("from"), head), words(s.say("to"), head), words(s.say("middle"), head), words(s.say("cells"), head)})...)
	row++
	x, top := s.histogramAxes(l, bins)
	s.drawBins("A"+number(row), name, l, row, bins, x, top)
	return s.block(row, chartRows, s.histogramData(row, l, bins, values, top))
}

// histogramData are the numbers of a histogram from a row on.
func (s *sheet) histogramData(row int, l limit, bins []bin, values []float64, top float64) [][]cell {
	limits := s.limitsOf(l.Quantity)
	data := make([][]cell, max(len(bins), 2*len(limits), 2))
	for i := range data {
		data[i] = make([]cell, pointsFirst+pointsEach*len(bins))
	}
	for i, b := range bins {
		at := number(row + i)
		data[i][binFrom], data[i][binTo], data[i][binCount] = cell{value: b.from}, cell{value: b.to}, cell{value: b.n}
		if !b.close(values) {
			data[i][binCount].formula = s.countIn(l, row+i)
		}
		data[i][binMiddle] = cell{value: (b.from + b.to) / 2, formula: "(" + datum(binFrom) + at + "+" + datum(binTo) + at + ")/2"}
		for k, y := range []cell{{value: 0}, {value: b.n, formula: datum(binCount) + at}} {
			data[0][pointsFirst+pointsEach*i+k], data[1][pointsFirst+pointsEach*i+k] = cell{value: (b.from + b.to) / 2, formula: datum(binMiddle) + at}, y
		}
	}
	for i, of := range limits {
		for k, y := range []float64{0, top} {
			data[2*i+k][lineName], data[2*i+k][lineX], data[2*i+k][lineY] = words(s.limitWords(of), look{}), cell{value: of.scale.In(of.Bound), formula: of.name}, cell{value: y}
		}
	}
	return data
}

// limitsOf are the limits of a quantity.
func (b *book) limitsOf(q job.Quantity) (list []limit) {
	for _, l := range b.list {
		if l.Quantity == q {
			list = append(list, l)
		}
	}
	return list
}

func (s *sheet) limitWords(l limit) string {
	return s.say("column.limit") + " (" + s.side(l.Side) + ")"
}

// histogramAxes hold all values, and the limits unless they are so far away that the values could not be told apart.
func (s *sheet) histogramAxes(l limit, bins []bin) (x extent, top float64) {
	const farthest = 3 // times what the values span
	x = extent{bins[0].from, bins[len(bins)-1].to}
	reach := farthest * (x.high - x.low)
	low, high := x.low-reach, x.high+reach
	for _, of := range s.limitsOf(l.Quantity) {
		if bound := of.scale.In(of.Bound); bound > low && bound < high {
			x.include(bound)
		}
	}
	most := 1
	for _, b := range bins {
		most = max(most, b.n)
	}
	length := math.Max(1, step(float64(most)*1.1))
	return x, math.Ceil(float64(most)*1.05/length) * length
}

// countIn counts the values judged against a limit in the interval of a row.
func (s *sheet) countIn(l limit, row int) string {
	value := s.criteriaRange("value")
	return "COUNTIFS(" + s.criteriaRange("no") + "," + number(l.i+1) + "," + value + `,">="&` + datum(binFrom) + number(row) + "," + value + `,"<"&` + datum(binTo) + number(row) + ")"
}

// drawBins draws columns on an axis of numbers, as lines as wide as an interval, since columns of their own kind stand
// on categories, among which a limit has no place.
func (s *sheet) drawBins(at, name string, l limit, row int, bins []bin, x extent, top float64) {
	length := step(x.high - x.low)
	low, high := math.Floor(x.low/length-0.5)*length, math.Ceil(x.high/length+0.5)*length
	points := func(row int) string {
		return inSheet(s.name, "$"+datum(pointsFirst)+"$"+number(row)+":$"+datum(pointsFirst+pointsEach*len(bins)-1)+"$"+number(row))
	}
	series := []excelize.ChartSeries{line(quotedName(s.say("cells")), points(row), points(row+1), growing[0].colour, 1, excelize.LineDashUnset)}
	for i, of := range s.limitsOf(l.Quantity) {
		series = append(series, line(quotedName(s.limitWords(of)), s.down(datum(lineX), row+2*i, row+2*i+1), s.down(datum(lineY), row+2*i, row+2*i+1), growing[1].colour, 1.75, excelize.LineDashDash))
	}
	s.chart(at, &excelize.Chart{
		Type: excelize.Scatter, Title: heading(s.say("distribution")), Series: series, ShowBlanksAs: "gap",
		XAxis: axis(name, "General", rounded(low), rounded(high)), YAxis: axis(s.say("cells"), "0", 0, top),
		Legend: excelize.ChartLegend{Position: "bottom"}, Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		Border: excelize.LineOptions{Type: excelize.LineNone},
	}, axes{plot: inner, stepX: rounded(length), stepY: math.Max(1, step(top)), wide: binWidth(bins[0], high-low), unlisted: []int{0}})
}

// binWidth is how wide an interval is drawn, in the format's units of length, with a little room between two.
func binWidth(b bin, span float64) int {
	const share = 0.95
	return int(share * inner.w * chartWidth * pixelEMU * (b.to - b.from) / span)
}
