package pdf

import (
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/core"
)

// table is records under a head that is repeated on every page.
type table struct {
	columns []column
	records [][]entry
	tinted  int    // the record that stands out, counted from 1; 0: none
	note    string // stands below, with the last records
	tight   bool   // no room between the records
}

// column says how a column of a table is set.
type column struct {
	head    string
	setting setting
	least   float64 // mm that it has even where its texts ask for less
	most    float64 // mm that its texts may ask for; 0: as much as they like
	stretch float64 // share of the room that the others leave; 0: none of it
}

// setting is how the texts of a column stand above one another.
type setting int

const (
	leftward setting = iota
	rightward
	byPoint // decimal signs above one another
)

// entry is one cell of a table.
type entry struct {
	text  string
	style *style         // nil: the table's
	link  string         // where the text leads; empty: nowhere
	mark  core.Component // drawn left of the text; nil: none
}

func entries(texts ...string) []entry {
	list := make([]entry, len(texts))
	for i, t := range texts {
		list[i].text = t
	}
	return list
}

// gutter parts columns, in mm; markRoom is what a mark takes.
const (
	gutter   = 3.
	markRoom = 4.5
)

// tallest is how many lines a record may have before it is set as several, so that it can go on over a
// page break.
const tallest = 24

// keptWhole is how many records a table may have and still not be broken over two pages.
const keptWhole = 12

// tooMuch is which part of a page may not stay blank for a table to be kept whole.
const tooMuch = 0.35

// addTable sets a table with its head. What is held stays with the head and the first two records; the
// last two stay together.
func (c *composition) addTable(t table) {
	if len(t.records) == 0 {
		return
	}
	s := newTableSetter(c, t)
	rows := s.rows()
	if whole := s.closed(append([]core.Row{s.head()}, rows...)); len(t.records) <= keptWhole && len(rows) == len(t.records) &&
		(c.left() < c.room*tooMuch || c.height(whole...) <= c.left()) {
		c.add(whole...)
		return
	}
	first := min(2, len(rows))
	last := max(first, len(rows)-2)
	c.add(append([]core.Row{s.head()}, rows[:first]...)...)
	c.repeat = []core.Row{s.head()}
	for _, r := range rows[first:last] {
		c.add(r)
	}
	c.add(s.closed(rows[last:])...)
	c.repeat = nil
}

// closed adds the table's note to its last rows.
func (s *tableSetter) closed(rows []core.Row) []core.Row {
	if s.note == "" {
		return rows
	}
	return append(rows, empty(module/2), full(s.sheet.small.set(s.note)))
}

// omit leaves out the columns in which no record has anything but blank.
func (t table) omit(blank string) table {
	kept := table{records: make([][]entry, len(t.records)), tinted: t.tinted, note: t.note, tight: t.tight}
	for i, col := range t.columns {
		if t.says(i, blank) {
			kept.columns = append(kept.columns, col)
			for r := range t.records {
				kept.records[r] = append(kept.records[r], t.records[r][i])
			}
		}
	}
	return kept
}

// blank empties a column.
func (t table) blank(column int) {
	for _, r := range t.records {
		r[column] = entry{}
	}
}

func (t table) says(column int, blank string) bool {
	for _, r := range t.records {
		if text := strings.TrimSpace(r[column].text); text != "" && text != blank || r[column].mark != nil {
			return true
		}
	}
	return false
}
