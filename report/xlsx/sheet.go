package xlsx

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// sheet is one being written, from the top down.
type sheet struct {
	*book
	key     string // of its name
	name    string
	widths  []float64     // of its columns, in characters
	pending []func(*rows) // what writes its rows, when the archive is written
	last    int           // row
	widest  int           // number of cells in a row
	placed  []placed      // cells of a row, used again for each
	pages   []span        // that are printed, of a sheet of charts
}

func pointer[T any](v T) *T { return &v }

func number(n int) string { return strconv.Itoa(n) }

// newSheet begins the sheet of a key, with the widths of its columns and its heads frozen above a row.
func (b *book) newSheet(key string, widths []float64, frozenAbove int) *sheet {
	s := &sheet{book: b, key: key, name: b.sheetName(key), widths: widths}
	if list := b.file.GetSheetList(); len(b.sheets) == 0 {
		b.note(b.file.SetSheetName(list[0], s.name))
	} else {
		_, err := b.file.NewSheet(s.name)
		b.note(err)
	}
	b.sheets = append(b.sheets, s)
	s.page(key, widths, frozenAbove-1)
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

// sheetName is what a sheet is called, as a workbook can have it: 31 characters at most, none of those that references
// are made of, no two alike, whatever a laboratory calls them.
func (b *book) sheetName(key string) string {
	name, ok := b.names[key]
	if !ok {
		name = b.distinctName(b.say("sheet." + key))
		b.names[key] = name
	}
	return name
}

// longestName of a sheet, in UTF-16 units; ours leave room for a number.
const longestName = 31 - len(" (10)")

func (b *book) distinctName(said string) string {
	name := strings.Trim(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`[]:*?/\`, r) || r < ' ' {
			return '-'
		}
		return r
	}, text(said)), "' ")
	for len(utf16.Encode([]rune(name))) > longestName {
		name = strings.TrimSpace(string([]rune(name)[:utf8.RuneCountInString(name)-1]))
	}
	for n := 1; ; n++ {
		numbered := name
		if n > 1 || name == "" {
			numbered += " (" + number(n) + ")"
		}
		if key := strings.ToLower(numbered); !b.taken[key] {
			b.taken[key] = true
			return numbered
		}
	}
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

// top writes the title of a sheet and what a reader should know of it, over as many columns as stay in sight.
func (s *sheet) top(key string) {
	s.rowOf(titleHeight, 1, cell{value: s.name, look: look{title: true}})
	s.broad(2, s.say("note."+key))
}

// broadWidth is how many characters of columns stay in sight.
const broadWidth = 130

// broad writes a text over several columns.
func (s *sheet) broad(row int, said string) {
	width, last := 0.0, 0
	for last < len(s.widths) && (last == 0 || width+s.widths[last] <= broadWidth) {
		width += s.widths[last]
		last++
	}
	s.rowOf(float64(linesOf(said, width*running))*lineHeight+1.5, row, cell{value: text(said), look: look{muted: true, wrap: true}})
	if last > 1 {
		s.note(s.file.MergeCell(s.name, "A"+number(row), letterOf(last)+number(row)))
	}
}

// end closes the sheet.
func (s *sheet) end() error {
	s.curtail()
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
