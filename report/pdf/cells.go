package pdf

import (
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// cells are the sections of the cells that were chosen.
func (c *composition) cells() {
	first := true
	for i := range c.doc.Assessment.Cells.Len() {
		if _, chosen := c.places[i]; chosen {
			c.cell(i, first)
			first = false
		}
	}
}

// cell is one cell's section: verdict, results over time, figures, findings, fitted values, budget.
func (c *composition) cell(index int, first bool) {
	cell := c.doc.Assessment.Cells.At(index)
	if len(c.places) > 1 || c.left() < roomForCell {
		c.startPage()
	}
	c.space(4 * module)
	if first {
		c.hold(full(c.target("", c.say("bookmark.cells", nil), 0)))
	}
	c.cellHeading(index, cell)
	if c.alone() { // its figures give way with all that follows
		c.cellBody(cell)
		return
	}
	c.snugly(func() { c.cellBody(cell) })
}

// cellBody is what stands below a cell's heading.
func (c *composition) cellBody(cell *health.Cell) {
	c.identify(cell)
	c.space(module)
	c.criteria(cell)
	c.space(module)
	c.baseline(cell)
	c.resistances(cell)
	if !long(cell) {
		c.history(cell)
	}
	c.figures(cell)
	c.trends(cell)
	if long(cell) {
		c.subheading("history")
		c.history(cell)
	}
}

// longHistory is the number of measurements from which on their table stands behind the figures.
const longHistory = 16

func long(cell *health.Cell) bool { return len(cell.Measurements) >= longHistory }

// roomForCell is what a page must have left for the only cell of a report to begin on it, in mm.
const roomForCell = 100

// cellHeading is the cell's name with its verdict, on a rule in the laboratory's colour.
func (c *composition) cellHeading(index int, cell *health.Cell) {
	const size = 3.6
	heading := c.sheet.heading
	word := c.doc.Words.Verdict(cell.Verdict)
	verdict := c.sheet.answer.in(verdictColours[cell.Verdict])
	room := mm(c.width(word, verdict) + size + 2)
	name, cut := c.shortened(c.say("cell.heading", c.literally(cell.Name)), heading, textWidth-float64(room), 2)
	p := verdict.aligned(align.Right).props()
	left := mm(textWidth - room)
	c.hold(
		full(c.target(c.places[index], cell.Name, 1)),
		ruled(across(
			left.holding(heading.set(name)),
			room.holding(verdictMark(cell.Verdict, size, verdict.pitch/2), text.New(word, p)),
		), c.sheet.colours.accent, strong),
	)
	c.space(module / 2)
	if cut {
		c.paragraph(c.literally(cell.Name), c.sheet.body)
	}
	c.paragraph(capitalised(c.literally(cell.Reason)), c.sheet.body)
	c.space(module / 2)
}

// identify says what a cell was measured under; beside its first line a link leads back to the summary.
func (c *composition) identify(cell *health.Cell) {
	const room = 34
	first, others, _ := strings.Cut(c.sayLines("cell.identity", c.identityOf(cell)), "\n")
	back := c.sheet.small.in(c.sheet.colours.accent).aligned(align.Right).props()
	back.Hyperlink = &c.summary
	back.Top += (c.sheet.note.pitch - c.sheet.small.pitch) / 2
	rows := c.abreast(pillar{textWidth - room, []item{{first, c.sheet.note, 0}}}, pillar{room, nil})
	rows[0].GetColumns()[1].Add(text.New(c.say("cell.back", nil), back))
	c.addEach(rows)
	c.paragraph(others, c.sheet.note)
}

// identityOf is what a cell was measured under, from its first to its judged measurement.
type identityOf struct {
	Measurements, Accepted int
	From, To               string
	Grade                  string
	GradeOnly              bool     // the limits of the job are not passed
	Better                 string   // the next better grade, and what of it is missed
	Missed                 []string // by how much
	Arcs                   int
	ArcsChoice             string
	Judged                 *judged // nil where no measurement is judged
}

// judged is the measurement on which the verdict rests.
type judged struct{ Date, Temperature, SOC, Cycles, Capacity, Instrument, Fixture, Operator, Sensing string }

func (c *composition) identityOf(cell *health.Cell) identityOf {
	k := identityOf{
		Measurements: len(cell.Measurements), Grade: c.grade(cell), GradeOnly: c.gradeOnly(cell),
		Arcs: cell.Arcs, ArcsChoice: capitalised(c.literally(cell.ArcsChoice)),
	}
	for i := range cell.Measurements {
		if counts(&cell.Measurements[i]) {
			k.Accepted++
		}
	}
	if n := len(cell.Measurements); n > 0 {
		k.From, k.To = c.numbers.Date(cell.Measurements[0].Row.MeasuredAt), c.numbers.Date(cell.Measurements[n-1].Row.MeasuredAt)
	}
	if g := cell.Grading; g != nil && g.Grade != "" {
		k.Better, k.Missed = c.literally(g.Better), c.missed(g)
	}
	if m := latest(cell); m != nil {
		k.Judged = c.judged(m)
	}
	return k
}

func (c *composition) judged(m *health.Measurement) *judged {
	j := &judged{
		Date: c.numbers.Date(m.Row.MeasuredAt), Temperature: c.numbers.Temperature(m.Row.TemperatureC, m.Row.TemperatureUncertaintyC),
		Instrument: c.literally(m.Row.Instrument), Fixture: c.literally(m.Row.Fixture),
		Operator: c.literally(m.Row.Operator), Sensing: c.literally(m.Row.Sensing),
	}
	if v := m.Row.SOCPercent; v != nil {
		j.SOC = c.percent(*v)
	}
	if v := m.Row.Cycles; v != nil {
		j.Cycles = c.numbers.Fixed(*v, 0, notation.One.Scale())
	}
	if v := m.Row.CapacityAh; v != nil {
		j.Capacity = c.positive(*v, notation.AmpereHour)
	}
	return j
}

// counts reports whether a measurement was accepted, by the checks or by hand.
func counts(m *health.Measurement) bool { return m.Quality.Accepted || m.Quality.AcceptedByHand != "" }
