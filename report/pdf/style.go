package pdf

import (
	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/consts/fontstyle"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// The page is A4 upright (ISO 216), its parts in mm. Every height is a multiple of the module, so that
// lines of text, rows of tables and edges of figures fall on one grid.
const (
	pageWidth    = 210.
	pageHeight   = 297.
	sideMargin   = 18.
	topMargin    = 13.5
	bottomMargin = 12.
	textWidth    = pageWidth - 2*sideMargin // 174
	textHeight   = pageHeight - topMargin - bottomMargin

	module = 1.5
	beat   = 3 * module // one line of body text
)

// columnsPerMM is the resolution at which columns are placed: maroto counts columns in whole units.
const columnsPerMM = 4

// style is how a text is set. Sizes are in points, the pitch from line to line in mm.
type style struct {
	size, pitch float64
	face        fontstyle.Type
	colour      *props.Color
	align       align.Type
}

// sheet holds the styles of a document in its colours.
type sheet struct {
	colours palette

	title, answer, heading, subheading style
	body, quiet, note, small           style
	table, head, running, label        style
	sideHead, equation                 style
}

func newSheet(c palette) sheet {
	return sheet{
		colours:    c,
		title:      style{19, 9, fontstyle.Normal, c.ink, align.Left},
		answer:     style{11.5, 6, fontstyle.Bold, c.ink, align.Left},
		heading:    style{13, 6, fontstyle.Bold, c.accent, align.Left},
		subheading: style{8.8, beat, fontstyle.Bold, c.accent, align.Left},
		body:       style{8.8, beat, fontstyle.Normal, c.ink, align.Left},
		quiet:      style{8.8, beat, fontstyle.Normal, c.quiet, align.Left},
		note:       style{8, 3.75, fontstyle.Normal, c.ink, align.Left},
		small:      style{7.2, 3.375, fontstyle.Normal, c.quiet, align.Left},
		table:      style{8, 3.75, fontstyle.Normal, c.ink, align.Left},
		head:       style{7.2, 3.375, fontstyle.Normal, c.quiet, align.Left},
		running:    style{7.2, 3.75, fontstyle.Normal, c.quiet, align.Left},
		label:      style{8, 3.75, fontstyle.Normal, c.quiet, align.Left}, // the size of a note: readers then take both as one text
		sideHead:   style{7.6, 3.75, fontstyle.Bold, c.accent, align.Left},
		equation:   style{9, 6, fontstyle.Normal, c.ink, align.Left},
	}
}

func (s style) bold() style                 { s.face = fontstyle.Bold; return s }
func (s style) slanted() style              { s.face = fontstyle.Italic; return s }
func (s style) in(c *props.Color) style     { s.colour = c; return s }
func (s style) aligned(a align.Type) style  { s.align = a; return s }
func (s style) set(t string) core.Component { return text.New(t, s.props()) }

// props puts half of the space between lines above the first and half below the last.
func (s style) props() props.Text {
	space := s.pitch - s.size*mmPerPoint
	return props.Text{
		Family: family, Style: s.face, Size: s.size, Color: s.colour, Align: s.align,
		VerticalPadding: space, Top: space / 2, Bottom: space / 2,
	}
}
