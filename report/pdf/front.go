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
	c.snugVerdicts()
}

// snugVerdicts sets the verdicts; where they spill onto a second page and saying less why spares it, they say less.
func (c *composition) snugVerdicts() {
	before := c.flow.copied()
	pages := len(before.pages)
	c.verdicts()
	whole := c.flow
	if len(whole.pages) == pages {
		return
	}
	c.flow, c.give = before, gives[0]
	if c.verdicts(); len(c.pages) > pages {
		c.flow = whole
	}
	c.give = 0
}

// masthead is the laboratory, and the report's number.
func (c *composition) masthead() {
	const logoHeight = 15
	left := []item{{c.laboratory(), c.sheet.subheading.in(c.sheet.colours.ink), 0}}
	for _, line := range []string{c.job.Laboratory.Address, c.job.Laboratory.Contact, c.job.Laboratory.Accreditation} {
		if line != "" {
			left = append(left, item{c.literally(line), c.sheet.small, 0})
		}
	}
	if c.job.Laboratory.Address == "" {
		left = append(left, item{c.say("no-address", nil), c.sheet.small.slanted(), 0})
	}
	left = append(left, c.roomAboveRule())
	logo := mm(0)
	if c.logo != nil {
		logo = mm(min(60, logoHeight*c.logo.width/c.logo.height) + 6)
	}
	rows := c.abreast(pillar{logo, nil}, pillar{textWidth - numberRoom - logo, left}, c.numberPillar())
	if c.logo != nil {
		rows[0].GetColumns()[0].Add(c.logoPart(logoHeight))
	}
	c.addEach(append(rows[:len(rows)-1], ruled(rows[len(rows)-1], c.sheet.colours.accent, strong)))
}

// numberRoom is the width of the report's number in the masthead.
const numberRoom = 54

func (c *composition) numberPillar() pillar {
	small := c.sheet.small.aligned(align.Right)
	return pillar{numberRoom + stackMargin, []item{
		{c.outside(c.job.Report.Number), c.sheet.subheading.aligned(align.Right), 0},
		{c.label("report-number"), small, 0},
		{c.say("masthead.issued", c.identity()), small, 0},
		c.roomAboveRule(),
	}}
}

// roomAboveRule keeps the last line of a pillar off the rule below it.
func (c *composition) roomAboveRule() item { return item{"", c.sheet.small, -module} }

func (c *composition) logoPart(height float64) core.Component {
	part := image.NewFromBytes(c.logo.bytes, c.logo.kind, props.Rect{})
	return &drawn{height + module, func(p *provider, _, _ float64, cell *entity.Cell) {
		part.Render(p, &entity.Cell{X: cell.X, Y: cell.Y, Width: cell.Width - 6, Height: height})
	}}
}

// headline is the report's title, and the report that it replaces.
func (c *composition) headline() {
	c.space(2 * module)
	c.hold(full(c.target(c.summary, c.say("bookmark.summary", nil), 0)))
	c.paragraph(c.title(), c.sheet.title)
	c.space(module)
	if c.job.Report.Amends != "" {
		c.paragraph(c.say("amends", amended{c.literally(c.job.Report.Amends), c.job.Report.Remarks != ""}), c.sheet.body.bold())
	}
}

// amended is the report that this one replaces, and whether the job has remarks, which say what changed (ISO/IEC 17025:2017, 7.8.8).
type amended struct {
	Number  string
	Remarks bool
}
