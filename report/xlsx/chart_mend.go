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
}

var textOfX = regexp.MustCompile(`<xVal><strRef>(<f>[^<]*</f>)</strRef></xVal>`)

// mend completes the XML of a chart: numbers in place of texts along x, a plot area of a fixed size,
// steps of both axes, series that have no entry in the legend.
func (a axes) mend(chart []byte) []byte {
	chart = textOfX.ReplaceAll(chart, []byte(`<xVal><numRef>$1</numRef></xVal>`))
	chart = bytes.Replace(chart, []byte(`<plotArea>`), []byte(`<plotArea>`+a.plot.layout()), 1)
	chart = bytes.Replace(chart, []byte(`</legendPos>`), []byte(`</legendPos>`+a.legendEntries()), 1)
	return a.stepped(chart)
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

// stepped gives the axes, of which x comes first, their steps, crosses them at their ends, and turns the title
// of the vertical one for programs that ask the title's properties before its text's.
func (a axes) stepped(chart []byte) []byte {
	chart = categoryOnly.ReplaceAll(chart, []byte(`<crossBetween val="midCat"></crossBetween>`))
	axis := bytes.SplitAfter(chart, []byte(`</valAx>`))
	if len(axis) < 3 {
		return chart
	}
	for i, length := range []float64{a.stepX, a.stepY} {
		axis[i] = bytes.Replace(axis[i], []byte(`<crosses val="autoZero"></crosses>`), []byte(`<crosses val="min"></crosses>`), 1)
		if length > 0 {
			unit := `<majorUnit val="` + strconv.FormatFloat(length, 'g', -1, 64) + `"></majorUnit></valAx>`
			axis[i] = bytes.Replace(axis[i], []byte(`</valAx>`), []byte(unit), 1)
		}
	}
	upright, turned := []byte(`<txPr><a:bodyPr anchorCtr="false" rot="0"`), []byte(`<txPr><a:bodyPr anchorCtr="false" rot="-5400000" vert="horz"`)
	axis[1] = bytes.Replace(axis[1], upright, turned, 1)
	return bytes.Join(axis, nil)
}
