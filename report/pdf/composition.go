package pdf

import (
	"math"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// composition is a report being set into pages.
type composition struct {
	*flow
	sheet   sheet
	doc     *report.Document
	job     *job.Job
	numbers notation.Notation
	options Options
	logo    *picture // nil where there is none
	results *attachment

	shown   summarised
	summary string         // where links back to the summary lead
	places  map[int]string // where links to cells lead, by the index of the cell
	give    float64        // mm by which tall figures are lower than they may be
}

func compose(d *report.Document, o Options) (*composition, error) {
	c := &composition{doc: d, job: d.Assessment.Job, numbers: d.Words.Notation(), options: o, places: map[int]string{}}
	var err error
	if c.logo, err = newPicture(o.Logo); err != nil {
		return nil, err
	}
	if c.results, err = attachmentOf(d, o.Aside); err != nil {
		return nil, err
	}
	c.sheet = newSheet(newPalette(c.job.Laboratory.Accent))
	c.flow = newFlow(newProvider(pageConfig()), textHeight-headRoom-footRoom)
	c.shown = c.summarise()
	c.reserveLinks()
	c.front()
	if c.alone() {
		c.snugly(c.body)
	} else {
		c.body()
	}
	return c, nil
}

// body is what stands behind the front.
func (c *composition) body() {
	if c.lengthy() {
		c.lot()
		c.list()
	}
	c.cells()
	if !c.lengthy() {
		c.lot()
	}
	c.quality()
	c.labels()
	c.method()
	c.closing()
}

// pageConfig is what maroto's rows and columns need to know of the page.
func pageConfig() *entity.Config {
	return &entity.Config{
		Dimensions:  &entity.Dimensions{Width: pageWidth, Height: pageHeight},
		Margins:     &entity.Margins{Left: sideMargin, Right: sideMargin, Top: topMargin, Bottom: bottomMargin},
		DefaultFont: &props.Font{Family: family, Size: 8.8, Color: &props.BlackColor},
		MaxGridSize: int(textWidth * columnsPerMM),
		Compression: true,
	}
}

// say gives a block of the wording. Data from outside go through literally first.
func (c *composition) say(block string, data any) string {
	return c.doc.Words.Say("pdf."+block, data)
}

// sayLines gives the paragraphs of a block as lines.
func (c *composition) sayLines(block string, data any) string {
	return strings.Join(c.doc.Words.Paragraphs("pdf."+block, data), "\n")
}

// literally prepares text from outside the wording for the page.
func (c *composition) literally(text string) string { return c.provider.alphabet.literally(text) }

// label gives a short block of the wording.
func (c *composition) label(name string) string { return c.say("label."+name, nil) }

// width of a text on one line in a style, in mm.
func (c *composition) width(text string, s style) float64 {
	t := s.props()
	return c.provider.width(text, &t)
}

// coverage is the coverage factor in force.
func (c *composition) coverage() float64 { return c.job.DecisionRule.CoverageFactor }

// latest is the measurement on which a cell is judged, nil where there is none.
func latest(c *health.Cell) *health.Measurement {
	if c.Latest < 0 || c.Latest >= len(c.Measurements) {
		return nil
	}
	return &c.Measurements[c.Latest]
}

// falsePass is the probability that a normal value on the limit, shifted by k standard uncertainties,
// conforms although it should not: Φ(−k) (JCGM 106:2012, 8.3.2.2).
func falsePass(k float64) float64 { return math.Erfc(k/math.Sqrt2) / 2 }
