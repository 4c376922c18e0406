package pdf

import (
	"strconv"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
)

// reserveLinks makes a target for the summary and for every cell that has a section.
func (c *composition) reserveLinks() {
	c.summary = c.newLink()
	for i := range c.doc.Assessment.Cells.Len() {
		if c.options.Cells.holds(c.doc.Assessment.Cells.At(i)) {
			c.places[i] = c.newLink()
		}
	}
}

func (c *composition) newLink() string { return "#" + strconv.Itoa(c.provider.pdf.AddLink()) }

// target makes its place on the page a bookmark of a level, 0 the outermost, and where a link leads that
// is not empty.
func (c *composition) target(link, title string, level int) core.Component {
	title, _ = c.shortened(title, c.sheet.running, textWidth, 1)
	title = unmarked(title)
	return &drawn{0, func(p *provider, _, y float64, _ *entity.Cell) {
		p.setFont(letters{size: 8}) // fpdf writes bookmarks in the encoding of the font in force
		p.pdf.Bookmark(title, level, y)
		if id, err := strconv.Atoi(strings.TrimPrefix(link, "#")); err == nil {
			p.pdf.SetLink(id, y, p.pdf.PageNo())
		}
	}}
}
