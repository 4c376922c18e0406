package xlsx

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// axes is what a chart needs that the workbook library has no words for.
type axes struct {
	plot     frameOf // where the plot area stands, fractions of the chart
	stepX    float64 // major unit of the horizontal axis; 0: as the program likes
	stepY    float64
	unlisted []int // series that the legend leaves out
	bars     []errorBars
	wide     int // the first series is drawn as lines so wide, in English metric units; 0: as it is
}

var textOfX = regexp.MustCompile(`<xVal><strRef>(<f>[^<]*</f>)</strRef></xVal>`)

// mend completes the XML of a chart: numbers in place of texts along x, a plot area of a fixed size,
// steps of both axes, series that have no entry in the legend.
func (a axes) mend(chart []byte) []byte {
	chart = textOfX.ReplaceAll(chart, []byte(`<xVal><numRef>$1</numRef></xVal>`))
	chart = bytes.Replace(chart, []byte(`<plotArea>`), []byte(`<plotArea>`+a.plot.layout()), 1)
	chart = bytes.Replace(chart, []byte(`</legendPos>`), []byte(`</legendPos>`+a.legendEntries()), 1)
	return a.stepped(a.barred(chart))
}

func (f frameOf) layout() string {
	return fmt.Sprintf(`<layout><manualLayout><layoutTarget val="inner"></layoutTarget><xMode val="edge"></xMode><yMode val="edge"></yMode>`+
		`<x val="%v"></x><y val="%v"></y><w val="%v"></w><h val="%v"></h></manualLayout></layout>`, f.x, f.y, f.w, f.h)
}

func (a axes) legendEntries() string {
	var b strings.Builder
	for _, i := range a.unlisted {
		fmt.Fprintf(&b, `<legendEntry><idx val="%d"></idx><delete val="1"></delete></legendEntry>`, i)
	}
	return b.String()
}

// categoryOnly is what belongs to axes of categories alone, yet stands in the horizontal axis of numbers.
var categoryOnly = regexp.MustCompile(`<auto val="1"></auto><lblAlgn[^>]*></lblAlgn><lblOffset[^>]*></lblOffset><noMultiLvlLbl[^>]*></noMultiLvlLbl>`)

// stepped gives the axes, of which x comes first, their steps, and crosses them at their ends.
func (a axes) stepped(chart []byte) []byte {
	chart = categoryOnly.ReplaceAll(chart, []byte(`<crossBetween val="midCat"></crossBetween>`))
	parts := bytes.SplitAfter(chart, []byte(`</valAx>`))
	steps := []float64{a.stepX, a.stepY}
	for i := range parts {
		parts[i] = upright(parts[i])
		if len(parts) == len(steps)+1 && i < len(steps) { // both axes are of numbers
			parts[i] = bytes.Replace(parts[i], []byte(`<crosses val="autoZero"></crosses>`), []byte(`<crosses val="min"></crosses>`), 1)
			parts[i] = bytes.Replace(parts[i], []byte(`</valAx>`), []byte(majorUnit(steps[i])+`</valAx>`), 1)
		}
	}
	return bytes.Join(parts, nil)
}

func majorUnit(length float64) string {
	if length == 0 {
		return ""
	}
	return `<majorUnit val="` + strconv.FormatFloat(length, 'g', -1, 64) + `"></majorUnit>`
}

// upright turns the title of a vertical axis for programs that ask the title's properties before its text's.
func upright(axis []byte) []byte {
	begin := bytes.LastIndex(axis, []byte(`<valAx>`))
	if begin < 0 || !bytes.Contains(axis[begin:], []byte(`<axPos val="l">`)) {
		return axis
	}
	level, turned := []byte(`<txPr><a:bodyPr anchorCtr="false" rot="0"`), []byte(`<txPr><a:bodyPr anchorCtr="false" rot="-5400000" vert="horz"`)
	return append(bytes.Clone(axis[:begin]), bytes.Replace(axis[begin:], level, turned, 1)...)
}

var (
	between = regexp.MustCompile(`<xdr:twoCellAnchor[^>]*>(<xdr:from>.*?</xdr:from>)<xdr:to>.*?</xdr:to>`)
	closing = []byte(`</xdr:twoCellAnchor>`)
)

// sized gives charts a size of their own in place of cells to reach to, whose size differs from program to
// program: scales that are equal have to stay so.
func sized(drawing []byte) []byte {
	extent := fmt.Sprintf(`<xdr:oneCellAnchor>$1<xdr:ext cx="%d" cy="%d"></xdr:ext>`, chartWidth*pixelEMU, chartHeight*pixelEMU)
	drawing = between.ReplaceAll(drawing, []byte(extent))
	return bytes.ReplaceAll(drawing, closing, []byte(`</xdr:oneCellAnchor>`))
}
