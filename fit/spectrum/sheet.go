package spectrum

import (
	"cmp"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// sheet walks through the rows of a worksheet. The library streams either values or what the sheet
// shows of them, so that two streams run side by side; dates are told by a mark in what is shown.
type sheet struct {
	table         *Table
	values, shown *excelize.Rows
	line          int32
	date1904      bool
	ended         bool // at a row beyond bounds; more of them would take long
	faults        faults
}

func openSheet(f *excelize.File, t *Table) (*sheet, error) {
	if err := markDates(f); err != nil {
		return nil, err
	}
	properties, err := f.GetWorkbookProps()
	if err != nil {
		return nil, err
	}
	s := &sheet{table: t, date1904: properties.Date1904 != nil && *properties.Date1904}
	if s.values, err = f.Rows(t.Sheet); err != nil {
		return nil, err
	}
	s.shown, err = f.Rows(t.Sheet)
	return s, err
}

// record appends the cells of the next row that is neither blank nor a comment; none at the end.
func (s *sheet) record(cells []Cell) (row []Cell, sound bool) {
	for !s.ended && s.values.Next() && s.shown.Next() {
		s.line++
		if cells, sound = s.cells(cells[:0]); !sound {
			return append(cells, Cell{Line: s.line}), false
		}
		if c := firstFilled(cells); isComment(c.Text) {
			c.Text = lineOf(cells[c.Column-1:])
			s.table.keepComment(c)
		} else if !c.Blank() {
			return cells, true
		}
	}
	return cells[:0], true
}

// cells reads the cells of the row at hand.
func (s *sheet) cells(cells []Cell) (row []Cell, sound bool) {
	before := s.faults.count()
	values, err := s.values.Columns(excelize.Options{RawCellValue: true})
	shown, errShown := s.shown.Columns()
	s.ended = err != nil || errShown != nil || len(values) > maxColumns
	switch place := (Cell{Line: s.line}); {
	case len(values) <= maxColumns && s.ended:
		s.faults.add(s.table.Fault(place, "damaged row (%v)", cmp.Or(err, errShown)))
	case len(values) > maxColumns:
		s.faults.add(s.table.Fault(place, "row of %d cells; at most %d are allowed", len(values), maxColumns))
	default:
		for i, value := range values {
			cells = append(cells, s.cell(i, value, shown))
		}
	}
	return cells, s.faults.count() == before
}

func (s *sheet) cell(i int, value string, shown []string) Cell {
	c := Cell{Text: strings.TrimSpace(value), Line: s.line, Column: int32(i + 1)}
	if len(value) > maxCellBytes {
		s.faults.add(s.table.Fault(c, "cell of %d bytes; at most %d are allowed", len(value), maxCellBytes))
	}
	if i < len(shown) {
		s.settle(&c, strings.TrimSpace(shown[i]))
	} else {
		s.settle(&c, "")
	}
	return c
}

// settle finds out what a cell with the text of a number is. The stream does not tell numbers from
// text; text in a form that no program gives a number, as 0012 or 10.000, stays text.
func (s *sheet) settle(c *Cell, shown string) {
	number, err := strconv.ParseFloat(c.Text, 64)
	if err != nil || math.IsInf(number, 0) || numberShape(c.Text) == noNumber {
		return
	}
	switch date, isDate := dateOf(number, s.date1904); {
	case shown == dateMark && isDate:
		c.Kind, c.Number, c.Text = Date, float64(date.Unix()), isoDate(date)
	case strings.HasPrefix(shown, timeMark):
		c.Text = strings.TrimPrefix(shown, timeMark) // a time of day is neither a date nor a number
	case strings.HasSuffix(shown, "%"), shown == "TRUE", shown == "FALSE":
		c.Text = shown // 50 % is stored as 0.5, TRUE as 1: no number to go on with
	case !spelledByHand(c.Text):
		c.Kind, c.Number = Number, number
		if shown != "" && !strings.HasSuffix(shown, dateMark) {
			c.Text = shown
		}
	}
}

// spelledByHand says whether a text that reads as a number is none: no program stores a number so.
func spelledByHand(text string) bool {
	shape := numberShape(text)
	zeros := len(text) > 1 && text[0] == '0' && shape == plainNumber
	return zeros || text[0] == '+' || shape == groupedByPoint && strings.HasSuffix(text, "0")
}

// lineOf writes cells on one line, parted by tabs.
func lineOf(cells []Cell) string {
	texts := make([]string, len(cells))
	for i, c := range cells {
		texts[i] = c.Text
	}
	return strings.TrimRight(strings.Join(texts, "\t"), "\t")
}

// firstFilled is the first cell that is not blank, or a blank one.
func firstFilled(cells []Cell) Cell {
	for _, c := range cells {
		if !c.Blank() {
			return c
		}
	}
	return Cell{}
}
