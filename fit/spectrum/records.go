package spectrum

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// records gives the rows of a file one after another, comments and blank lines left out.
type records interface {
	// record appends the cells of the next row to a buffer; none at the end. A row that is not
	// sound has a fault already.
	record(buffer []Cell) (cells []Cell, sound bool)
}

// readRecords takes the first record for the header and the others for rows.
func (t *Table) readRecords(from records, mostCells int, faults *faults) {
	buffer, sound := from.record(nil)
	if !sound {
		return
	}
	header := slices.Clone(trimBlank(buffer))
	if e := t.headerFault(header); e != nil {
		faults.add(e)
		return
	}
	t.Header = header
	shelf := shelf{inSheet: t.delimiter == 0}
	for {
		buffer, sound = from.record(buffer[:0])
		cells := trimBlank(buffer)
		switch {
		case len(buffer) == 0:
			return
		case len(cells) == 0 || !sound:
		case len(cells) > len(t.Header):
			faults.add(t.tooWide(cells))
			if faults.count() >= keptFaults {
				return // the rows to come will be no better
			}
		case len(t.Rows) == mostCells/len(header):
			faults.add(t.Fault(cells[0], "row %d of %d columns; at most %d cells are allowed", len(t.Rows)+1, len(header), mostCells))
			return
		default:
			t.Rows = append(t.Rows, Row{Line: int(cells[0].Line), Cells: shelf.store(buffer, len(t.Header))})
		}
	}
}

// headerFault says why the first row cannot be a header.
func (t *Table) headerFault(header []Cell) *Error {
	switch {
	case len(header) == 0:
		return t.Fault(Cell{}, "empty; a header row and rows of values are needed")
	case allNumbers(header):
		e := t.Fault(header[0], "the first row holds numbers; a header row must stand above them")
		if len(t.Comments) > 0 {
			e.Remedy = fmt.Sprintf("if line %d is the header row, remove the # before it", t.Comments[len(t.Comments)-1].Line)
		}
		return e
	case len(header) == 1 && t.delimiter != 0:
		e := t.Fault(header[0], "header row %s has no comma, semicolon or tab between columns", quote(header[0].Text))
		e.Remedy = "part the columns by commas, semicolons or tabs; put # before each line that stands above the header row"
		return e
	}
	return nil
}

// tooWide is the fault of a row with more cells than the header names.
func (t *Table) tooWide(cells []Cell) *Error {
	e := t.Fault(cells[len(t.Header)], "row of %d cells under a header of %d", len(cells), len(t.Header))
	if t.delimiter == ',' {
		e.Remedy = `every column needs a name in the header; a text with a comma needs quotes: "like this, for example"; where numbers have a decimal comma, semicolon or tab must stand between the columns`
	}
	return e
}

// spreadsheetErrors are what a spreadsheet program writes for a value it could not compute. A row
// that begins with one is no comment.
var spreadsheetErrors = []string{"#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"}

func isComment(line string) bool {
	return strings.HasPrefix(line, "#") &&
		!slices.ContainsFunc(spreadsheetErrors, func(e string) bool { return strings.HasPrefix(line, e) })
}

// trimBlank leaves out blank cells at the end.
func trimBlank(cells []Cell) []Cell {
	for len(cells) > 0 && cells[len(cells)-1].Blank() {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// allNumbers says whether no cell can be a heading.
func allNumbers(cells []Cell) bool {
	return !slices.ContainsFunc(cells, func(c Cell) bool { return !c.Blank() && c.Kind == Text && numberShape(c.Text) == noNumber })
}

// shelf keeps the cells of many rows in few allocations.
type shelf struct {
	room    []Cell
	rows    int
	inSheet bool // columns are counted in cells, not in characters
}

// store copies a row. Cells that it lacks are blank; in text they stand just after its last one.
func (s *shelf) store(row []Cell, width int) []Cell {
	if len(s.room) < width {
		s.room = make([]Cell, width*min(64+s.rows, 1024))
	}
	stored := s.room[:width:width]
	s.room = s.room[width:]
	s.rows++
	last := row[len(row)-1]
	end := last.Column + int32(utf8.RuneCountInString(last.Text))
	for i := copy(stored, row); i < width; i++ {
		if s.inSheet {
			end = int32(i + 1)
		}
		stored[i] = Cell{Line: last.Line, Column: end}
	}
	return stored
}
