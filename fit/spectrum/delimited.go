package spectrum

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// delimiters in the order in which they are tried; the comma last, since it may be a decimal sign.
const delimiters = "\t;,"

// readText reads delimited text. The cells share the memory of the one decoded string.
func (t *Table) readText(data []byte) error {
	s := &scanner{table: t, text: decode(data), line: 1, column: 1}
	s.refuseControlCharacters()
	if s.faults.none() {
		s.detectDelimiter()
		t.Header = s.header()
	}
	if s.faults.none() {
		t.Rows = s.rows(len(t.Header))
	}
	return s.faults.err()
}

// refuseControlCharacters tells text from other files and keeps what no cell can hold out of reports.
func (s *scanner) refuseControlCharacters() {
	at := strings.IndexFunc(s.text, func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' || r == 0x7F })
	if at < 0 {
		return
	}
	before := s.text[:at]
	place := Cell{
		Line:   int32(1 + strings.Count(before, "\n")),
		Column: int32(1 + len([]rune(before[strings.LastIndexByte(before, '\n')+1:]))),
	}
	s.faults.add(s.table.Fault(place, "control character %q; delimited text or an .xlsx workbook is needed", s.text[at]))
}

// detectDelimiter takes the first delimiter that splits header and first row into equally many
// cells, else the one that splits the header into most. A first line "sep=;" settles it, as
// spreadsheet programs write it.
func (s *scanner) detectDelimiter() {
	if hint, found := strings.CutPrefix(s.text, "sep="); found && len(hint) > 1 && strings.IndexByte(delimiters, hint[0]) >= 0 && hint[1] == '\n' {
		s.delimiter = hint[0]
		s.skipLine()
		return
	}
	most := 0
	for _, d := range []byte(delimiters) {
		trial := *s
		trial.delimiter = d
		header := len(trial.record(nil))
		row := len(trial.record(nil))
		if header > 1 && header == row {
			s.delimiter = d
			return
		}
		if header > most {
			s.delimiter, most = d, header
		}
	}
}

// header reads the first row, which must name the columns.
func (s *scanner) header() []Cell {
	cells := trimBlank(s.record(nil))
	switch {
	case len(cells) == 0:
		s.faults.add(s.table.Fault(Cell{}, "empty; a header row and rows of values are needed"))
	case allNumbers(cells):
		e := s.table.Fault(cells[0], "the first row holds numbers; a header row must stand above them")
		if s.comment > 0 {
			e.Remedy = fmt.Sprintf("line %d: if this is the header row, remove the # before it", s.comment)
		}
		s.faults.add(e)
	case len(cells) == 1:
		e := s.table.Fault(cells[0], "header row %s has no comma, semicolon or tab between columns", quote(cells[0].Text))
		e.Remedy = "put # before each line that stands above the header row"
		s.faults.add(e)
	}
	return cells
}

// rows reads all rows beneath the header, each as wide as the header.
func (s *scanner) rows(width int) []Row {
	var rows []Row
	var shelf shelf
	for buffer := s.record(nil); len(buffer) > 0; buffer = s.record(buffer[:0]) {
		cells := trimBlank(buffer)
		switch {
		case len(cells) == 0:
		case len(cells) > width:
			s.faults.add(s.tooWide(cells, width))
		case len(rows) == maxRows:
			s.faults.add(s.table.Fault(cells[0], "row %d of values; a table has at most %d", maxRows+1, maxRows))
			return rows
		default:
			rows = append(rows, Row{Line: int(cells[0].Line), Cells: shelf.store(buffer, width)})
		}
	}
	return rows
}

// tooWide is the fault of a row with more cells than the header names.
func (s *scanner) tooWide(cells []Cell, width int) *Error {
	e := s.table.Fault(cells[width], "row of %d cells under a header of %d", len(cells), width)
	if s.delimiter == ',' {
		e.Remedy = "with a decimal comma, semicolon or tab must stand between the columns"
	}
	return e
}

// trimBlank leaves out blank cells at the end.
func trimBlank(cells []Cell) []Cell {
	for len(cells) > 0 && cells[len(cells)-1].Blank() {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// allNumbers says whether no cell is a heading.
func allNumbers(cells []Cell) bool {
	return !slices.ContainsFunc(cells, func(c Cell) bool { return !c.Blank() && c.Kind == Text && numberShape(c.Text) == noNumber })
}

// shelf keeps the cells of many rows in few allocations.
type shelf struct {
	room []Cell
	rows int
}

// store copies a row; cells that it lacks are blank and stand just after its last one.
func (s *shelf) store(row []Cell, width int) []Cell {
	if len(s.room) < width {
		s.room = make([]Cell, width*min(64+s.rows, 1024))
	}
	stored := s.room[:width:width]
	s.room = s.room[width:]
	s.rows++
	last := row[len(row)-1]
	for i := copy(stored, row); i < width; i++ {
		stored[i] = Cell{Line: last.Line, Column: last.Column + int32(utf8.RuneCountInString(last.Text))}
	}
	return stored
}
