package pdf

import (
	"strings"

	leaf "github.com/johnfercher/maroto/v2/pkg/components/page"
	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// headRoom and footRoom are kept on every page for the running head and foot, in mm; the first page has
// the masthead in place of the head.
const (
	headRoom = 9.
	footRoom = 7.5
)

// render sets the pages, closes the document and gives its file.
func (c *composition) render() (*file, error) {
	c.describe()
	for i, rows := range c.pages {
		c.renderPage(c.complete(i, rows))
		c.pages[i] = nil // its figures are drawn: their data may go
	}
	c.provider.SetCompression(len(c.pages) > pagesOfPlan) // where all are read again at once it would be wasted
	b, err := c.provider.GenerateBytes()
	if err != nil {
		return nil, err
	}
	return compact(b, c.results)
}

func (c *composition) renderPage(rows []core.Row) {
	p := leaf.New(props.PageNumber{})
	p.Add(rows...)
	p.SetConfig(c.provider.config)
	c.provider.newPage()
	p.Render(c.provider, entity.NewRootCell(pageWidth, pageHeight, *c.provider.config.Margins))
}

// complete adds running head and foot to the rows of a page.
func (c *composition) complete(index int, rows []core.Row) []core.Row {
	var all []core.Row
	if index > 0 {
		all = append(all, c.runningHead()...)
	}
	all = append(all, rows...)
	if fill := textHeight - footRoom - c.height(all...); fill > roundingMargin {
		all = append(all, row.New(fill))
	}
	return append(all, c.runningFoot(index+1)...)
}

// runningHead names the laboratory and the report.
func (c *composition) runningHead() []core.Row {
	return []core.Row{
		ruled(c.ends(c.oneLine(c.laboratory(), textWidth/2), c.oneLine(c.title(), textWidth/2)), c.sheet.colours.hairline, medium),
		empty(headRoom - c.sheet.running.pitch),
	}
}

// runningFoot identifies the report and counts its pages.
func (c *composition) runningFoot(number int) []core.Row {
	identity := c.oneLine(c.say("foot.report", c.identity()), textWidth*3/4)
	count := c.say("foot.page", struct{ Number, Of int }{number, len(c.pages)})
	return []core.Row{
		empty(footRoom - c.sheet.running.pitch),
		ruledAbove(c.ends(identity, count), c.sheet.colours.hairline),
	}
}

// ends sets one text at the left and one at the right edge.
func (c *composition) ends(left, right string) core.Row {
	s := c.sheet.running
	return row.New(s.pitch).Add(
		mm(textWidth).holding(s.set(left), s.aligned(align.Right).set(right)),
	)
}

// oneLine cuts a text to a width in mm.
func (c *composition) oneLine(text string, width float64) string {
	line, _ := c.shortened(text, c.sheet.running, width-gutter, 1)
	return line
}

// shortened is the beginning of a text that takes at most so many lines of a width in mm, with an
// ellipsis where something was cut off.
func (c *composition) shortened(text string, s style, width float64, most int) (short string, cut bool) {
	const enough = 400 // characters fill more lines than are asked for
	if runes := []rune(text); len(runes) > enough {
		text, cut = string(runes[:enough]), true
	}
	t := s.props()
	lines := c.provider.lines(text, &t, width)
	if len(lines) > most {
		lines, cut = lines[:most], true
	}
	if cut {
		lines[len(lines)-1] += "…"
	}
	return strings.Join(lines, "\n"), cut
}

// identity is what identifies the report on every page; what the job leaves blank is blank.
type identity struct{ Number, Issued string }

func (c *composition) identity() identity {
	k := identity{Number: c.literally(strings.TrimSpace(c.job.Report.Number))}
	if t := c.job.Report.Issued; !t.IsZero() {
		k.Issued = c.numbers.Date(t)
	}
	return k
}

// laboratory and title are what the job says, or what the wording says in their place.
func (c *composition) laboratory() string { return c.stated(c.job.Laboratory.Name, "no-laboratory") }
func (c *composition) title() string      { return c.stated(c.job.Report.Title, "title") }

func (c *composition) stated(text, instead string) string {
	if text == "" {
		return c.say(instead, nil)
	}
	return c.literally(text)
}
