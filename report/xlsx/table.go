package xlsx

import (
	"fmt"
	"iter"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// holds reports whether a sheet has rows enough, and says so on it where it has not.
func holds[T any](s *sheet, name string, rows iter.Seq[T]) bool {
	last := firstRow - 1 + length(s, name, rows)
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
	end := first + length(s, name, list)
	if end == first {
		return end
	}
	s.reach(end-1, len(c.list))
	s.pending = append(s.pending, func(r *rows) {
		if n := writeTable(s, r, first, c, list) - end; n != 0 && r.err == nil && s.err == nil {
			panic(fmt.Sprintf("xlsx: the table %s has %d rows more than were counted", name, n))
		}
	})
	s.tableOf(name, "A"+number(first-1), c.last()+number(end-1), heads)
	return end
}

// length is how many rows a table has: as planned, or counted.
func length[T any](s *sheet, name string, list iter.Seq[T]) int {
	n, known := s.plan.rows[name]
	if known {
		return n
	}
	for range list {
		n++
	}
	return n
}

// writeTable makes and writes the rows of a table, and returns the row after the last.
func writeTable[T any](s *sheet, r *rows, at int, c *columns[T], list iter.Seq[T]) int {
	cells := make([]cell, len(c.list)) // used again for each row
	for row := range list {
		for i, column := range c.list {
			cells[i] = column.cell(row, at)
		}
		s.add(r, height(c, cells), at, cells)
		if at++; r.err != nil || s.err != nil {
			break
		}
	}
	return at
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
const mostLines = 6

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
