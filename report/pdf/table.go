package pdf

import (
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/core"
)

// table is records under a head that is repeated on every page.
type table struct {
	columns []column
	records [][]entry
	many    listing // in place of records
	tinted  int     // the record that stands out, counted from 1; 0: none
	note    string  // stands below, with the last records
	tight   bool    // no room between the records
}

// listing is so many records that each is made when it is asked for, as often as it is.
type listing struct {
	length int
	record func(i int) []entry
}

// length is how many records there are.
func (t table) length() int { return len(t.records) + t.many.length }

func (t table) record(i int) []entry {
	if t.many.record != nil {
		return t.many.record(i)
	}
	return t.records[i]
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
	if t.length() == 0 {
		return
	}
	s := newTableSetter(c, t)
	rows := s.rows()
	if whole := s.closed(append([]core.Row{s.head()}, rows...)); t.length() <= keptWhole && len(rows) == t.length() &&
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
	says := t.says(blank)
	chosen := func(record []entry) (list []entry) {
		for i, e := range record {
			if says[i] {
				list = append(list, e)
			}
		}
		return list
	}
	kept := table{tinted: t.tinted, note: t.note, tight: t.tight}
	for i, col := range t.columns {
		if says[i] {
			kept.columns = append(kept.columns, col)
		}
	}
	for _, r := range t.records {
		kept.records = append(kept.records, chosen(r))
	}
	if t.many.record != nil {
		kept.many = listing{t.many.length, func(i int) []entry { return chosen(t.many.record(i)) }}
	}
	return kept
}

// blank empties a column.
func (t table) blank(column int) {
	for _, r := range t.records {
		r[column] = entry{}
	}
}

// says are the columns in which a record has something but blank.
func (t table) says(blank string) []bool {
	says := make([]bool, len(t.columns))
	for i := range t.length() {
		for k, e := range t.record(i) {
			text := strings.TrimSpace(e.text)
			says[k] = says[k] || text != "" && text != blank || e.mark != nil
		}
	}
	return says
}
