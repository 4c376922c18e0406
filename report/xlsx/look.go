package xlsx

import (
	"strings"

	"github.com/xuri/excelize/v2"
)

// look is how a cell looks.
type look struct {
	format             string // of the number; blank: as it comes
	side               string // "left", "right" or "center"; blank: texts left, numbers right
	bold, wrap, muted  bool
	title, head, input bool
}

// Colours of the workbook: ink on paper, a quiet head, inputs on pale yellow as is common practice in
// calculation sheets.
const (
	ink, quietInk       = "1C2327", "566269"
	headFill, inputFill = "E7EBEC", "FFF6CF"
	rule, ruleStrong    = "DDE2E4", "7F8B91"
	typeface            = "Calibri"
	textSize, titleSize = 10, 16
	dateFormat          = "yyyy-mm-dd"
	timeFormat          = "yyyy-mm-dd hh:mm"
	maxDecimals         = 12
	unknownDecimals     = 3 // of numbers that have no uncertainty
	percentFormat       = "0.00%"
)

// style gives the number under which the file holds a look.
func (b *book) style(l look) int {
	if id, ok := b.styles[l]; ok {
		return id
	}
	id, err := b.file.NewStyle(l.excel())
	b.note(err)
	b.styles[l] = id
	return id
}

func (l look) excel() *excelize.Style {
	s := &excelize.Style{
		Font:       &excelize.Font{Family: typeface, Size: textSize, Color: ink, Bold: l.bold || l.head || l.title},
		Alignment:  &excelize.Alignment{Vertical: "top", WrapText: l.wrap || l.head},
		Protection: &excelize.Protection{Locked: !l.input},
	}
	if l.format != "" {
		s.CustomNumFmt = &l.format
	}
	if l.side != "" {
		s.Alignment.Horizontal = l.side
	}
	if l.side == "left" {
		s.Alignment.Indent = 1
	}
	if l.muted {
		s.Font.Color = quietInk
	}
	switch {
	case l.title:
		s.Font.Size = titleSize
	case l.head:
		s.Fill, s.Border, s.Alignment.Vertical = plain(headFill), []excelize.Border{{Type: "bottom", Color: ruleStrong, Style: 1}}, "bottom"
	case l.input:
		s.Fill, s.Border = plain(inputFill), frame(ruleStrong)
	}
	return s
}

func plain(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

func frame(colour string) (sides []excelize.Border) {
	for _, side := range []string{"left", "right", "top", "bottom"} {
		sides = append(sides, excelize.Border{Type: side, Color: colour, Style: 1})
	}
	return sides
}

// decimals is the number format of so many digits after the point.
func decimals(n int) string {
	if n <= 0 {
		return "0"
	}
	return "0." + strings.Repeat("0", min(n, maxDecimals))
}
