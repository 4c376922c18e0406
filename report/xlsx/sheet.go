package xlsx

import (
	"fmt"
	"math"
	"strconv"
	"strings"

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
