package xlsx

import (
	"fmt"
	"iter"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// sheet is one being written, from the top down.
type sheet struct {
	*book
	name    string
	pending []func(*rows) // what writes its rows, when the archive is written
	last    int           // row
	widest  int           // number of cells in a row
	placed  []placed      // cells of a row, used again for each
}

func pointer[T any](v T) *T { return &v }

func number(n int) string { return strconv.Itoa(n) }

// newSheet begins the sheet of a key, with the widths of its columns and its heads frozen above a row.
func (b *book) newSheet(key string, widths []float64, frozenAbove int) *sheet {
	s := &sheet{book: b, name: b.sheetName(key)}
	if list := b.file.GetSheetList(); len(b.sheets) == 0 {
		b.note(b.file.SetSheetName(list[0], s.name))
	} else {
		_, err := b.file.NewSheet(s.name)
		b.note(err)
	}
	b.sheets = append(b.sheets, s)
	s.page(widths, frozenAbove-1)
	for i, w := range widths {
		b.note(b.file.SetColWidth(s.name, letterOf(i+1), letterOf(i+1), w))
	}
	if frozenAbove > 1 {
		b.note(b.file.SetPanes(s.name, &excelize.Panes{Freeze: true, XSplit: 1, YSplit: frozenAbove - 1,
			TopLeftCell: "B" + number(frozenAbove), ActivePane: "bottomRight"}))
	}
	return s
}

// letterOf is the name of a column.
func letterOf(column int) string {
	letter, _ := excelize.ColumnNumberToName(column) // errs for impossible columns only
	return letter
}

func (b *book) sheetName(key string) string { return b.say("sheet." + key) }

// pageWidth is how many characters of columns are legible on a page of A4 across.
const pageWidth = 200

// page sets up printing: A4 across, as many pages side by side as the columns need to stay legible, the
// first column and the head on each.
func (s *sheet) page(widths []float64, headRow int) {
	const a4 = 9
	total := 0.0
	for _, w := range widths {
		total += w
	}
	beside, margin := int(math.Ceil(total/pageWidth)), 0.5
	s.note(
		s.file.SetPageLayout(s.name, &excelize.PageLayoutOptions{Size: pointer(a4), Orientation: pointer("landscape"), FitToWidth: &beside, FitToHeight: pointer(0)}),
		s.file.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: pointer(true)}),
		s.file.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{Left: &margin, Right: &margin}),
		s.file.SetHeaderFooter(s.name, s.running()),
	)
	if headRow > 0 {
		titles := inSheet(s.name, "$A:$A") + "," + inSheet(s.name, "$"+number(headRow)+":$"+number(headRow))
		s.note(s.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: s.name, RefersTo: titles}))
	}
}

// running are header and footer: whose report, which, which sheet, page n of m.
func (s *sheet) running() *excelize.HeaderFooterOptions {
	job := s.doc.Assessment.Job
	const longest = 50 // both parts, each & doubled, share the 255 characters that the format allows
	header := "&L" + headerText(clip(job.Laboratory.Name, longest)) + "&R" + headerText(clip(job.Report.Number, longest))
	return &excelize.HeaderFooterOptions{OddHeader: header, OddFooter: "&L&A&R&P / &N"}
}

func clip(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// inSheet is a reference to a place on a sheet.
func inSheet(name, place string) string {
	return "'" + strings.ReplaceAll(name, "'", "''") + "'!" + place
}

// Heights of rows in points.
const (
	titleHeight = 26
	lineHeight  = 13.5
	plainHeight = 15
)

// row writes cells from the first column on.
func (s *sheet) row(at int, cells ...cell) { s.rowOf(plainHeight, at, cells...) }

// rowOf writes cells in a row of a height.
func (s *sheet) rowOf(height float64, at int, cells ...cell) {
	s.pending = append(s.pending, func(r *rows) { s.add(r, height, at, cells) })
	s.reach(at, len(cells))
}

// reach takes account of a row with so many cells.
func (s *sheet) reach(at, wide int) {
	s.last, s.widest = max(s.last, at), max(s.widest, wide)
	if at > excelize.TotalRows {
		s.note(fmt.Errorf("xlsx: the sheet %s needs more than the %d rows that a sheet can have", s.name, excelize.TotalRows))
	}
}

// add writes a row now.
func (s *sheet) add(r *rows, height float64, at int, cells []cell) {
	s.placed = s.placed[:0]
	for _, c := range cells {
		style := 0
		if c.value != nil || c.look.head || c.look.input {
			style = s.style(c.look)
		}
		s.placed = append(s.placed, placed{c, style})
	}
	r.add(at, height, s.placed)
}

// top writes the title of a sheet and what a reader should know of it.
func (s *sheet) top(key string) {
	s.rowOf(titleHeight, 1, cell{value: s.name, look: look{title: true}})
	s.row(2, cell{value: s.say("note." + key), look: look{muted: true}})
}

// end closes the sheet.
func (s *sheet) end() error {
	s.note(s.file.SetSheetDimension(s.name, "A1:"+letterOf(max(1, s.widest))+number(max(1, s.last))))
	return s.err
}

// protect keeps formulas from being overwritten or torn from their rows by a sort. There is no
// password: whoever wants to work on takes the protection off.
func (s *sheet) protect() {
	s.note(s.file.ProtectSheet(s.name, &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true, AutoFilter: true, FormatColumns: true, FormatRows: true,
	}))
}

// holds reports whether a sheet has rows enough, and says so on it where it has not.
func holds[T any](s *sheet, rows iter.Seq[T]) bool {
	last := firstRow - 1
	for range rows {
		last++
	}
	if last > excelize.TotalRows {
		s.row(firstRow-1, words(s.say("too_many_rows", last-firstRow+1), look{}))
		return false
	}
	return true
}

// table writes a head above a row, then the rows, and makes them a table. It returns the row after the last. The
// rows are counted now and made when they are written.
func table[T any](s *sheet, name string, first int, c *columns[T], list iter.Seq[T]) int {
	heads, cells := make([]string, len(c.list)), make([]cell, len(c.list))
	for i, column := range c.list {
		heads[i], cells[i] = column.head, cell{value: column.head, look: look{head: true, side: column.side}}
	}
	s.rowOf(height(c, cells)+lineHeight/2, first-1, cells...)
	end := first
	for range list {
		end++
	}
	if end == first {
		return end
	}
	s.reach(end-1, len(c.list))
	s.pending = append(s.pending, func(r *rows) { writeTable(s, r, first, c, list) })
	s.tableOf(name, "A"+number(first-1), c.last()+number(end-1), heads)
	return end
}

// writeTable makes and writes the rows of a table.
func writeTable[T any](s *sheet, r *rows, at int, c *columns[T], list iter.Seq[T]) {
	cells := make([]cell, len(c.list)) // used again for each row
	for row := range list {
		for i, column := range c.list {
			cells[i] = column.cell(row, at)
		}
		s.add(r, height(c, cells), at, cells)
		if at++; r.err != nil || s.err != nil {
			return
		}
	}
}

// tableOf makes a range a table. The library asks its own sheet for the heads.
func (s *sheet) tableOf(name, from, to string, heads []string) {
	s.note(
		s.file.SetSheetRow(s.name, from, &heads),
		s.file.AddTable(s.name, &excelize.Table{Range: from + ":" + to, Name: name, StyleName: "TableStyleLight1", ShowRowStripes: pointer(false)}),
	)
}

func widths[T any](c *columns[T]) (out []float64) {
	for _, column := range c.list {
		out = append(out, column.width)
	}
	return out
}

// height is that of a row whose texts wrap: not every program works it out.
func height[T any](c *columns[T], cells []cell) float64 {
	most := 1
	for i, each := range cells {
		words, ok := each.value.(string)
		switch {
		case ok && each.look.head:
			most = max(most, linesOf(words, c.list[i].width))
		case ok && each.look.wrap:
			most = max(most, linesOf(words, c.list[i].width*running))
		}
	}
	return max(plainHeight, float64(min(most, mostLines))*lineHeight)
}

// running is how many letters of running text stand in the width of a digit, by which columns are measured.
const running = 1.15

// mostLines is what a row shows of a long text; the cell holds all of it.
const mostLines = 12

func linesOf(words string, width float64) int {
	lines := 0
	for line := range strings.SplitSeq(words, "\n") {
		lines += wrapped(line, int(width))
	}
	return lines
}

// wrapped is the number of lines of a text that breaks between words, and within words that are too long.
func wrapped(line string, width int) int {
	lines, used := 1, 0
	for word := range strings.FieldsSeq(line) {
		n := utf8.RuneCountInString(word)
		if used > 0 && used+1+n > width {
			lines, used = lines+1, 0
		}
		if used > 0 {
			used++
		}
		used += n
		lines, used = lines+(used-1)/width, (used-1)%width+1
	}
	return lines
}
