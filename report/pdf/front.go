package pdf

import (
	"github.com/johnfercher/maroto/v2/pkg/components/image"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// front is the first page: who reports to whom on what, the verdicts and what to do next.
func (c *composition) front() {
	c.breakPage()
	c.used = -headRoom // the masthead stands where other pages have their running head
	c.masthead()
	c.headline()
	c.facts()
	c.verdicts()
}

// masthead is the laboratory, and the report's number.
func (c *composition) masthead() {
	const logoHeight = 15
	left := []item{{c.laboratory(), c.sheet.subheading.in(c.sheet.colours.ink), 0}}
	for _, line := range []string{c.job.Laboratory.Address, c.job.Laboratory.Contact, c.job.Laboratory.Accreditation} {
		if line != "" {
			left = append(left, item{literally(line), c.sheet.small, 0})
		}
	}
	if c.job.Laboratory.Address == "" {
		left = append(left, item{c.say("no-address", nil), c.sheet.small.slanted(), 0})
	}
	left = append(left, item{"", c.sheet.small, -module}) // a little room above the rule
	columns := []core.Col{c.stack(textWidth-numberRoom, left...)}
	if c.logo != nil {
		room := mm(min(60, logoHeight*c.logo.width/c.logo.height) + 6)
		columns = []core.Col{room.holding(c.logoPart(logoHeight)), c.stack(textWidth-numberRoom-room, left...)}
	}
	c.add(ruled(across(append(columns, c.numberColumn())...), c.sheet.colours.accent, strong))
}

// numberRoom is the width of the report's number in the masthead.
const numberRoom = 54

func (c *composition) numberColumn() core.Col {
	right := c.sheet.subheading.aligned(align.Right)
	number := c.stack(numberRoom+stackMargin,
		item{c.label("report-number"), c.sheet.small.aligned(align.Right), 0},
		item{c.outside(c.job.Report.Number), right, 0},
		item{c.say("masthead.issued", c.identity()), c.sheet.small.aligned(align.Right), 0},
	)
	return number
}

func (c *composition) logoPart(height float64) core.Component {
	part := image.NewFromBytes(c.logo.bytes, c.logo.kind, props.Rect{})
	return &drawn{height + module, func(p *provider, _, _ float64, cell *entity.Cell) {
		part.Render(p, &entity.Cell{X: cell.X, Y: cell.Y, Width: cell.Width - 6, Height: height})
	}}
}

// headline is the report's title, and the report that it replaces.
func (c *composition) headline() {
	c.space(2 * module)
	c.add(full(c.target(c.summary, c.say("bookmark.summary", nil), 0), c.sheet.title.set(c.title())))
	if c.job.Report.Amends != "" {
		c.paragraph(c.say("amends", literally(c.job.Report.Amends)), c.sheet.body.bold())
	}
}
