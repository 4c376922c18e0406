package xlsx

import (
	"fmt"
	"image/color"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"ohmledger/health"
	"ohmledger/health/job"
)

// Figures are drawn for so many cells at most, the gravest verdicts first, and with so many ages.
const (
	drawnCells = 12
	drawnAges  = 7
	chartRows  = 22 // that a chart covers, at 20 pixels each
	growthAt   = "G"
)

// Columns of the numbers that charts are drawn from, right of them and not printed.
const (
	lastPrinted = "O"
	dataBeside  = 16 // columns before them
	dataColumns = 8
)

// datum is the letter of a column of the numbers that charts are drawn from.
func datum(i int) string { return letterOf(dataBeside + i + 1) }

// figures draws how quantities spread over the cells, and for a few cells spectra and growth.
func (b *book) figures() error {
	s := b.newSheet("figures", append([]float64{35}, slices.Repeat([]float64{10}, dataBeside+dataColumns-1)...), 0)
	s.top("figures")
	growths := s.limitLines()
	row := s.histograms(firstRow + 1 + len(growths))
	for _, i := range b.drawn() {
		c := b.doc.Assessment.Cells.At(i)
		s.paged(row)
		row = s.block(row, 1, nil)
		s.row(row, s.beside([]cell{words(c.Name, look{bold: true})}, s.barHeads())...)
		if b.plan.points != nil {
			s.nyquist(i, c, "A"+number(row+1))
		}
		row = s.growth(i, c, growths, row+1)
	}
	s.printed()
	return s.end()
}

// rowsPrinted is how many rows a page has room for: the title, and the charts of two cells or quantities.
const (
	rowsPrinted  = 54
	chartPercent = 56 // of its size, for that
)

// printed sets up printing: what is seen alone, each page a range of its own.
func (s *sheet) printed() {
	ranges := make([]string, len(s.pages))
	for i, p := range s.pages {
		ranges[i] = inSheet(s.name, "$A$"+number(p.from)+":$"+lastPrinted+"$"+number(p.to))
	}
	if len(ranges) > 0 {
		s.note(s.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: s.name, RefersTo: strings.Join(ranges, ",")}))
	}
	s.note(
		s.file.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: pointer(false)}),
		s.file.SetPageLayout(s.name, &excelize.PageLayoutOptions{AdjustTo: pointer(uint(chartPercent))}),
	)
}

// paged puts charts on a page, with a blank row and their heading from a row on: on that of those before if they follow at once and
// fit.
func (s *sheet) paged(row int) {
	last := row + 1 + chartRows
	if n := len(s.pages); n > 0 && row <= s.pages[n-1].to+1 && last-s.pages[n-1].from < rowsPrinted {
		s.pages[n-1].to = last
		return
	}
	first := row
	if len(s.pages) == 0 { // below the title
		first = 1
	}
	s.pages = append(s.pages, span{first, last})
}

// span is a range of rows.
type span struct{ from, to int }

// beside puts the numbers that a chart is drawn from right of what is seen.
func (s *sheet) beside(seen, data []cell) []cell {
	cells := make([]cell, dataBeside, dataBeside+len(data))
	copy(cells, seen)
	return append(cells, data...)
}

// block writes the rows that a chart covers, so that their height is sure and charts end where they should, with the
// numbers that it is drawn from beside it. It returns the next row.
func (s *sheet) block(row, rows int, data [][]cell) int {
	for i := range max(rows, len(data)) {
		if i < len(data) {
			s.row(row, s.beside(nil, data[i])...)
		} else {
			s.row(row, cell{})
		}
		row++
	}
	return row
}

// drawn chooses the cells that are drawn.
func (b *book) drawn() []int {
	cells := b.doc.Assessment.Cells
	chosen, ranks := make([]int, cells.Len()), make([]int, cells.Len())
	for i, c := range cells.All() {
		chosen[i], ranks[i] = i, slices.Index(verdicts, c.Verdict)
	}
	slices.SortStableFunc(chosen, func(i, k int) int { return ranks[i] - ranks[k] })
	chosen = chosen[:min(len(chosen), drawnCells)]
	slices.Sort(chosen)
	return chosen
}

// limitLine is a limit of a growth as figures draw it, from the row where it stands.
type limitLine struct {
	limit
	row int
}

// limitLines writes the ends of the lines that figures draw at the limits of growths, from the row above the first.
func (s *sheet) limitLines() (lines []limitLine) {
	from, to := s.plan.first, s.plan.last
	h, day := look{head: true, side: "right"}, look{format: dateFormat, side: "right"}
	s.row(firstRow-1, s.beside(nil, []cell{words(s.say("limit_lines"), look{head: true}), words(s.say("from"), h), words(s.say("to"), h)})...)
	s.row(firstRow, s.beside(nil, []cell{{}, {value: from, look: day}, {value: to, look: day}})...)
	row := firstRow + 1
	for _, l := range s.list {
		if l.Quantity != job.ChargeTransferGrowth && l.Quantity != job.OhmicGrowth || len(lines) == mostLimitLines {
			continue
		}
		end := cell{value: l.Bound, formula: l.name}
		s.row(row, s.beside(nil, []cell{words(s.quantity(l.Quantity), look{}), end, end})...)
		lines = append(lines, limitLine{l, row})
		row++
	}
	return lines
}

// mostLimitLines is how many limits of growths a chart has room for.
const mostLimitLines = 8

// ages chooses the measurements of a cell that are drawn: the first, the last, and others evenly between.
func ages(c *health.Cell) (chosen []int) {
	var usable []int
	for k, m := range c.Measurements {
		if m.Spectrum != nil && len(m.Spectrum.Frequency) > 0 {
			usable = append(usable, k)
		}
	}
	n := len(usable)
	if n <= drawnAges {
		return usable
	}
	for i := range drawnAges {
		chosen = append(chosen, usable[i*(n-1)/(drawnAges-1)])
	}
	return chosen
}

func hex(c color.NRGBA) string { return fmt.Sprintf("%02X%02X%02X", c.R, c.G, c.B) }

// place is a range of one column on another sheet, as charts want it.
func (b *book) place(sheet, letter string, first, last int) string {
	return fmt.Sprintf("'%s'!$%s$%d:$%s$%d", b.sheetName(sheet), letter, first, letter, last)
}

// chart adds a chart and what the pack has to mend in it.
func (s *sheet) chart(at string, c *excelize.Chart, a axes) {
	if s.err != nil {
		return
	}
	s.note(s.file.AddChart(s.name, at, c))
	s.axes = append(s.axes, a)
}
