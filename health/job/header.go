package job

import (
	"slices"
	"strings"
	"unicode"

	"ohmledger/fit/spectrum"
)

// header tells which column is which.
func (s *sheet) header() {
	s.columns = make([]*column, len(s.Header))
	for i := range s.Header {
		s.columns[i] = s.identify(i)
	}
	s.absent(s.slips(s.missing()))
	var numeric []int
	for i, c := range s.columns {
		if c != nil && c.number {
			numeric = append(numeric, i)
		}
	}
	s.numbers = s.Numbers(numeric...)
}

// identify finds the known column of a header cell, nil where it is none.
func (s *sheet) identify(i int) *column {
	c := s.Header[i]
	if c.Blank() {
		if s.filled(i) {
			s.fault(c, "give it a name", "column %d has no header, yet holds values", i+1)
		}
		return nil
	}
	for earlier, other := range s.Header[:i] {
		if strings.EqualFold(other.Text, c.Text) {
			s.fault(c, "give each column a name of its own", "header %s stands twice, in columns %d and %d", quote(c.Text), earlier+1, i+1)
			return nil
		}
	}
	at := slices.IndexFunc(columns, func(known column) bool { return strings.EqualFold(known.name, c.Text) })
	if at < 0 {
		return nil
	}
	return &columns[at]
}

func (s *sheet) filled(i int) bool {
	return slices.ContainsFunc(s.Rows, func(row spectrum.Row) bool { return !row.Cells[i].Blank() })
}

// missing are the known columns that the header lacks, in the order of our table.
func (s *sheet) missing() []string {
	var names []string
	for _, known := range columns {
		if !slices.ContainsFunc(s.columns, func(c *column) bool { return c != nil && c.name == known.name }) {
			names = append(names, known.name)
		}
	}
	return names
}

// slips refuses an unknown header that is all but one of the missing ones: kept as an extra column, its values
// would silently not count. It gives the missing columns that remain.
func (s *sheet) slips(missing []string) (remaining []string) {
	remaining = missing
	for i, c := range s.Header {
		at := slices.IndexFunc(remaining, func(name string) bool { return alike(c.Text, name) })
		if s.columns[i] != nil || c.Blank() || at < 0 {
			continue
		}
		name := remaining[at]
		s.fault(c, "rename it to "+name+" if it holds just that, in the unit of that name; else choose a name that cannot be mistaken for it",
			"header %s is not known, but much like %s", quote(c.Text), name)
		remaining = slices.Delete(slices.Clone(remaining), at, at+1)
	}
	return remaining
}

// absent refuses a table without a needed column.
func (s *sheet) absent(missing []string) {
	var lacking, renames, headers []string
	for _, c := range s.Header {
		headers = append(headers, quote(c.Text))
	}
	for _, name := range missing {
		if !columns[slices.Index(columnNames(), name)].needed {
			continue
		}
		lacking = append(lacking, name)
		if near := spectrum.Nearest(name, s.extra()); near != "" {
			renames = append(renames, "rename "+quote(near)+" to "+name+" if that is what it holds")
		}
	}
	if len(lacking) > 0 {
		if len(lacking) == len(s.neededNames()) {
			renames = []string{"name them so; where there is no header row, write one above the rows: " + strings.Join(lacking, ",")}
		}
		s.fault(s.firstHeader(), strings.Join(renames, "; "), "needed columns are missing: %s; the header has %s",
			strings.Join(lacking, ", "), strings.Join(headers, ", "))
	}
}

// neededNames are the columns without which there is no measurement.
func (s *sheet) neededNames() (names []string) {
	for _, known := range columns {
		if known.needed {
			names = append(names, known.name)
		}
	}
	return names
}

// firstHeader is the place of the header row.
func (s *sheet) firstHeader() spectrum.Cell {
	if len(s.Header) == 0 {
		return spectrum.Cell{}
	}
	return spectrum.Cell{Line: s.Header[0].Line, Column: s.Header[0].Column}
}

// alike says whether two names differ only in signs between letters, or in one letter left out, added, changed or swapped.
func alike(a, b string) bool {
	x, y := letters(a), letters(b)
	for len(x) > 0 && len(y) > 0 && x[0] == y[0] {
		x, y = x[1:], y[1:]
	}
	for len(x) > 0 && len(y) > 0 && x[len(x)-1] == y[len(y)-1] {
		x, y = x[:len(x)-1], y[:len(y)-1]
	}
	swapped := len(x) == 2 && len(y) == 2 && x[0] == y[1] && x[1] == y[0]
	return len(x) <= 1 && len(y) <= 1 || swapped
}

func letters(name string) []rune {
	var kept []rune
	for _, r := range strings.ToLower(name) {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			kept = append(kept, r)
		}
	}
	return kept
}
