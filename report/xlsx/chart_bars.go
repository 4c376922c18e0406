package xlsx

import (
	"bytes"
	"fmt"
	"regexp"
)

// English metric units, in which drawings measure (ISO/IEC 29500-1, 20.1.2.1), in a pixel of 1/96 inch and in a point.
const (
	pixelEMU = 9525
	pointEMU = 12700
)

// errorBars are those of a series along y (ISO/IEC 29500-1, 21.2.2.55), of the lengths that two ranges hold.
type errorBars struct {
	series      int
	plus, minus string
	colour      string
}

// lineEnd is width and end of a line as the library writes it.
var lineEnd = regexp.MustCompile(`<a:ln cap="[a-z]+" w="\d+">`)

// barred gives series their error bars, which stand before their values, and the first its width where it is drawn as
// columns.
func (a axes) barred(chart []byte) []byte {
	series := bytes.SplitAfter(chart, []byte(`</ser>`))
	if a.wide > 0 {
		at := bytes.Index(series[0], []byte(`<ser>`))
		series[0] = append(series[0][:at:at], lineEnd.ReplaceAll(series[0][at:], fmt.Appendf(nil, `<a:ln cap="flat" w="%d">`, a.wide))...)
	}
	for _, e := range a.bars {
		if e.series < len(series)-1 {
			series[e.series] = bytes.Replace(series[e.series], []byte(`<xVal>`), []byte(e.xml()+`<xVal>`), 1)
		}
	}
	return bytes.Join(series, nil)
}

func (e errorBars) xml() string {
	return `<errBars><errDir val="y"></errDir><errBarType val="both"></errBarType><errValType val="cust"></errValType><noEndCap val="0"></noEndCap>` +
		lengthOf("plus", e.plus) + lengthOf("minus", e.minus) +
		fmt.Sprintf(`<spPr><a:ln w="%d"><a:solidFill><a:srgbClr val="%s"></a:srgbClr></a:solidFill></a:ln></spPr></errBars>`, pointEMU, e.colour)
}

func lengthOf(side, place string) string {
	return "<" + side + "><numRef><f>" + escapedText(place) + "</f></numRef></" + side + ">"
}

// escapedText is a text inside XML.
func escapedText(s string) string {
	var r rows
	r.escaped(s)
	return r.line.String()
}
