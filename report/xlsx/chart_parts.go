package xlsx

import (
	"math"
	"time"

	"github.com/xuri/excelize/v2"
)

// Sizes of charts in pixels, and of their plot area as fractions.
const (
	chartWidth, chartHeight = 620, 440
	lettering               = 9
	axisColour              = quietInk
)

// inner is the plot area of every chart: it leaves room for axis titles and for the legend beneath.
var inner = frameOf{x: 0.11, y: 0.09, w: 0.85, h: 0.66}

type frameOf struct{ x, y, w, h float64 }

func heading(s string) excelize.ChartTitle {
	return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: s, Font: &excelize.Font{Size: lettering + 1, Bold: true, Color: ink, Family: typeface}}}}
}

func axisTitle(s string) excelize.ChartTitle {
	return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: s, Font: &excelize.Font{Size: lettering, Color: axisColour, Family: typeface}}}}
}

// axis of a chart from low to high with a title and a number format.
func axis(title, format string, low, high float64) excelize.ChartAxis {
	return excelize.ChartAxis{
		Title: axisTitle(title), Minimum: &low, Maximum: &high, MajorGridLines: true,
		NumFmt: excelize.ChartNumFmt{CustomNumFmt: format}, Font: excelize.Font{Size: lettering, Color: axisColour, Family: typeface},
	}
}

// dots is a series of markers, line one of a line only.
func dots(name, x, y, colour string, symbol int) excelize.ChartSeries {
	symbols := []string{"circle", "square", "diamond", "triangle"}
	return excelize.ChartSeries{Name: name, Categories: x, Values: y, Line: excelize.LineOptions{Type: excelize.LineNone},
		Marker: excelize.ChartMarker{Symbol: symbols[symbol%len(symbols)], Size: 5, Fill: plain(colour), Border: excelize.LineOptions{Fill: plain(colour)}}}
}

func line(name, x, y, colour string, width float64, dash excelize.LineDashType) excelize.ChartSeries {
	return excelize.ChartSeries{Name: name, Categories: x, Values: y, Fill: plain(colour),
		Line: excelize.LineOptions{Type: excelize.LineSolid, Width: width, Dash: dash}, Marker: excelize.ChartMarker{Symbol: "none"}}
}

// step is the 1-2-5 step that divides a length into a handful of parts.
func step(length float64) float64 {
	const parts = 8
	raw := length / parts
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= raw {
			return m * power
		}
	}
	return 10 * power
}

// datable reports whether the 1900 date system has a moment: its first day is 1900-01-01, and it takes 1900 for a leap
// year, so that the days before March are counted differently by different programs.
func datable(t time.Time) bool { return t.Year() > 1900 && t.Year() < 10000 }

// serial is the day number of the 1900 date system (ISO/IEC 29500-1, 18.17.4.1), by the clock on the wall.
func serial(t time.Time) float64 {
	const unixEpoch = 25569 // 1970-01-01
	_, offset := t.Zone()
	return unixEpoch + (float64(t.Unix())+float64(offset))/86400
}

// down is a range of a column of this sheet, as charts want it.
func (s *sheet) down(letter string, first, last int) string {
	return inSheet(s.name, "$"+letter+"$"+number(first)+":$"+letter+"$"+number(last))
}
