package spectrum

import (
	"fmt"
	"strings"
	"time"
)

// Table is a delimited text or the first sheet of a workbook: a header row and the rows under it.
type Table struct {
	File   string // as named by the caller
	Sheet  string // name of the sheet; empty for text
	Header []Cell
	Rows   []Row // blank rows and comment lines left out

	Comments []Cell // the first 1000 comment lines, each with its #; of a sheet the cells parted by tabs

	delimiter byte // of text
}

// Row is one row of a table. It has as many cells as the header; what the file leaves out is blank.
type Row struct {
	Line  int // line of the text on which the row begins, or row of the sheet
	Cells []Cell
}

// Cell is one field of a table with its place.
type Cell struct {
	Text         string  // outer blanks removed; a workbook's number as the sheet shows it, its date as ISO 8601
	Line, Column int32   // from 1; of text the character at which the cell begins, of a sheet row and column
	Kind         Kind    // what the file says the cell is
	Number       float64 // of a Number its value, of a Date seconds since 1970-01-01T00:00:00Z
}

// Kind tells the cells of a workbook apart. In delimited text every cell is Text.
type Kind uint8

const (
	Text   Kind = iota // characters; may well spell a number, see Numbers
	Number             // a number; also a text spelled as workbooks store numbers
	Date               // a date or a date with time of day, without time zone
)

// Blank says whether the cell holds nothing.
func (c Cell) Blank() bool { return c.Text == "" }

// Date is the cell's date, in UTC, where it is one.
func (c Cell) Date() (date time.Time, ok bool) {
	if c.Kind != Date {
		return time.Time{}, false
	}
	return time.Unix(int64(c.Number), 0).UTC(), true
}

// ReadTable reads delimited text (comma, semicolon or tab; UTF-8, UTF-16, Latin-1 or Windows-1252;
// any line ends; # comment lines; quoted cells as in RFC 4180) or the first sheet of an .xlsx
// workbook. File is only the name for messages. The error is an Errors; with one there is no table.
func ReadTable(file string, data []byte) (*Table, error) {
	t := &Table{File: file}
	faults := t.parse(data, tableBounds)
	if err := faults.err(); err != nil {
		return nil, err
	}
	return t, nil
}

// parse fills the table with all that could be read; rows with a fault are left out.
func (t *Table) parse(data []byte, most bounds) faults {
	switch {
	case len(data) > most.bytes:
		return t.refusal("file of %d bytes; at most %d are allowed", len(data), most.bytes)
	case isWorkbook(t.File, data):
		return t.parseWorkbook(data, most)
	default:
		return t.parseText(data, most)
	}
}

// Width is how many cells a comment line would have as a row.
func (t *Table) Width(comment Cell) int {
	delimiter := t.delimiter
	if delimiter == 0 {
		delimiter = '\t'
	}
	return 1 + strings.Count(comment.Text, string(delimiter))
}

func (t *Table) keepComment(c Cell) {
	if len(t.Comments) < keptComments {
		t.Comments = append(t.Comments, c)
	}
}

// Fault is a fault of the table at a cell.
func (t *Table) Fault(c Cell, format string, arguments ...any) *Error {
	return &Error{File: t.File, Line: int(c.Line), Column: int(c.Column), Message: fmt.Sprintf(format, arguments...)}
}

// refusal is the one fault of a file that cannot be read at all.
func (t *Table) refusal(format string, arguments ...any) faults {
	t.Header = nil
	return faults{kept: Errors{t.Fault(Cell{}, format, arguments...)}}
}
