package pdf

import (
	"math"
	"slices"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// A label's parts in mm: three stand side by side, to be cut along the lines.
const (
	labelsBeside = 3
	labelWidth   = mm(textWidth / labelsBeside)
	labelHeight  = 39.
	labelInset   = 2.5
	labelCode    = 20. // the code's side
)

// fewLabels need no pages of their own.
const fewLabels = 6

// mostLabels is how many cells get labels; of more, labels are made elsewhere from results.json.
const mostLabels = 2000

// labels is a sheet of labels for the graded cells.
func (c *composition) labels() {
	graded := c.labelled()
	if len(graded) == 0 || len(graded) > mostLabels || len(c.job.Grades) == 0 {
		return
	}
	apart := func() {
		if len(graded) > fewLabels {
			c.startPage()
		}
	}
	apart()
	c.section("labels")
	c.holdParagraph(c.say("labels", nil), c.sheet.note)
	c.hold(empty(module))
	digest := c.resultsDigest()
	for group := range slices.Chunk(graded, labelsBeside) {
		r := row.New(labelHeight)
		for _, cell := range group {
			r.Add(c.labelColumn(cell, digest))
		}
		c.add(r)
	}
	apart()
}

// labelled are the cells that have a grade and do not miss a limit of the job, which may be stricter than the grade's. Reference cells
// are the measure and are handed to nobody.
func (c *composition) labelled() (graded []*health.Cell) {
	for _, cell := range c.doc.Assessment.Cells.All() {
		if cell.Grade != "" && c.passes(cell) && !slices.Contains(c.job.Baseline.Cells, cell.Name) {
			if graded = append(graded, cell); len(graded) > mostLabels {
				break
			}
		}
	}
	return graded
}

// labelColumn is one label: its outline, its code at the top right, its texts.
func (c *composition) labelColumn(cell *health.Cell, digest string) core.Col {
	code := matrixOf(c.codeText(cell, digest))
	column := labelWidth.holding(&drawn{labelHeight, func(p *provider, x, y float64, _ *entity.Cell) {
		p.setPen(c.sheet.colours.rule, fine)
		p.pdf.Rect(x, y, float64(labelWidth), labelHeight, "D")
		left := x + float64(labelWidth) - labelInset - labelCode
		p.pdf.RawWriteStr(code.drawn(left*pointsPerMM, (pageHeight-y-labelInset-labelCode)*pointsPerMM, labelCode*pointsPerMM))
	}})
	beside := c.labelHead(cell)
	y := c.setLabel(column, beside, labelInset/2, labelInset+labelCode+2)
	c.setLabel(column, c.labelFoot(cell), max(y, labelInset+labelCode+1), 0)
	return column
}

// setLabel sets texts into a label from y on, one a line, kept off the right by so much more than the inset. It returns where they end.
func (c *composition) setLabel(column core.Col, lines []item, y, right float64) float64 {
	for _, it := range lines {
		t := it.style.props()
		t.Left, t.Right, t.Top = labelInset, labelInset+right, t.Top+y
		column.Add(text.New(c.oneLineOf(it, float64(labelWidth)-t.Left-t.Right), t))
		y += it.style.pitch
	}
	return y
}

// oneLineOf is a text, or its beginning with an ellipsis, on one line of a width in mm.
func (c *composition) oneLineOf(it item, width float64) string {
	if c.width(it.text, it.style) <= width {
		return it.text
	}
	short, _ := c.shortened(it.text, it.style, width-c.width("…", it.style)-0.2, 1)
	return short
}

// labelHead stands beside the code: serial, grade, day of measurement, and whose report it is from.
func (c *composition) labelHead(cell *health.Cell) []item {
	const room = float64(labelWidth) - 3*labelInset - labelCode - 2
	name, grade := c.literally(cell.Name), c.say("label-grade", c.literally(cell.Grade))
	lines := append(c.labelName(name, room), item{grade, c.fitting(grade, room, c.sheet.heading, c.sheet.answer, c.sheet.note.bold()), 0})
	if cell.Verdict == health.ConditionalPass {
		verdict := c.doc.Words.Verdict(cell.Verdict)
		lines = append(lines, item{verdict, c.sheet.small.bold().in(verdictColours[cell.Verdict]), 0})
	}
	if m := latest(cell); m != nil {
		lines = append(lines, item{c.say("label-measured", c.numbers.Date(m.Row.MeasuredAt)), c.sheet.small, 0})
	}
	return append(lines, item{c.say("label-report", c.identity()), c.sheet.small, 0})
}

// labelName is a cell's name, on several lines where it is long; of a very long one the beginning and the end, in which
// serial numbers differ.
func (c *composition) labelName(name string, room float64) (lines []item) {
	const most = 3
	s := c.fitting(name, room, c.sheet.answer, c.sheet.note.bold(), c.sheet.small.bold().in(c.sheet.colours.ink))
	t := s.props()
	parts := c.provider.lines(name, &t, room)
	if len(parts) > most {
		end := []rune(parts[len(parts)-2] + parts[len(parts)-1])
		for len(end) > 0 && c.width("…"+string(end), s) > room {
			end = end[1:]
		}
		parts = append(parts[:most-1], "…"+string(end))
	}
	for _, p := range parts {
		lines = append(lines, item{p, s, 0})
	}
	return lines
}

// fitting is the first of some styles in which a text takes no more than a width in mm, or the last.
func (c *composition) fitting(text string, width float64, styles ...style) style {
	for _, s := range styles[:len(styles)-1] {
		if c.width(text, s) <= width {
			return s
		}
	}
	return styles[len(styles)-1]
}

// labelFoot stands below the code: key values, and what a grade is not.
func (c *composition) labelFoot(cell *health.Cell) (lines []item) {
	for _, v := range c.labelValues(cell) {
		lines = append(lines, item{v, c.sheet.small.in(c.sheet.colours.ink), 0})
	}
	return append(lines, item{c.say("label-caution", nil), c.sheet.small, 0})
}

// labelValues are the quantities that the grades ask for, at most three of them.
func (c *composition) labelValues(cell *health.Cell) (texts []string) {
	const most = 3
	var asked []job.Quantity
	for _, g := range c.job.Grades {
		for _, l := range g.Limits {
			if !slices.Contains(asked, l.Quantity) {
				asked = append(asked, l.Quantity)
			}
		}
	}
	for _, q := range asked[:min(len(asked), most)] {
		v := valueOf(cell, q)
		if !v.Known() {
			continue
		}
		texts = append(texts, c.say("label-value", struct{ Quantity, Value string }{string(q), c.labelValue(q, v)}))
	}
	return texts
}

// labelValue is a value with its expanded uncertainty, a growth with the ends of its coverage interval, and the coverage factor.
func (c *composition) labelValue(q job.Quantity, v fit.Value) string {
	s, k := notation.UnitOf(q).Scale(v), c.coverage()
	u := k * v.StandardUncertainty()
	switch {
	case !(u > 0):
		return c.digits(v.Estimate(), 4, s)
	case isGrowth(q):
		spread := math.Exp(k * v.Relative())
		return c.rounded(v.Estimate(), u, s) + " (" + c.numbers.Interval(v.Estimate()/spread, v.Estimate()*spread, u, s) + ") " + c.numbers.Coverage(k)
	}
	return c.numbers.Expanded(v.Estimate(), u, s) + " " + c.numbers.Coverage(k)
}

// valueOf is a quantity of a cell's judged measurement, not known where it could not be had.
func valueOf(cell *health.Cell, q job.Quantity) fit.Value {
	for _, v := range cell.Values {
		if v.Quantity == q {
			return v.Value
		}
	}
	if k := criterionOf(cell, q); k != nil {
		return k.Value
	}
	return fit.Value{}
}

// codeText is what the code of a label holds: report, cell, grade, and the digest of the results that they stand in.
func (c *composition) codeText(cell *health.Cell, digest string) string {
	parts := []string{c.job.Report.Number, cell.Name, cell.Grade, "SHA256:" + strings.ToUpper(digest)}
	for i, p := range parts {
		runes := []rune(c.provider.alphabet.legible(p))
		const longest = 80
		parts[i] = unmarked(string(runes[:min(len(runes), longest)]))
	}
	return strings.Join(parts, "/")
}
