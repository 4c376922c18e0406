package spectrum

import (
	"strings"
	"unicode/utf8"
)

// scanner walks through delimited text with \n line ends. It differs from encoding/csv in that it
// counts columns in characters, takes a quotation mark inside an unquoted cell as it stands (Z" is a
// common spelling of Z″), allows blanks around quoted cells, and goes on after a fault.
type scanner struct {
	table        *Table
	text         string
	pos          int
	line, column int32 // of pos
	delimiter    byte
	faults       faults
}

// record appends the cells of the next row that is neither an empty line nor a comment; none at the end.
func (s *scanner) record(cells []Cell) (row []Cell, sound bool) {
	for s.skipBlanks(); s.pos < len(s.text); s.skipBlanks() {
		switch line := s.text[s.pos:]; {
		case line[0] == '\n':
			s.skipLine()
		case isComment(line):
			comment, _, _ := strings.Cut(line, "\n")
			s.table.keepComment(Cell{Text: strings.TrimSpace(comment), Line: s.line, Column: s.column})
			s.skipLine()
		default:
			before := s.faults.count()
			cells = s.cells(cells)
			return cells, s.faults.count() == before
		}
	}
	return cells, true
}

// cells reads up to the end of the row.
func (s *scanner) cells(cells []Cell) []Cell {
	for {
		s.skipBlanks()
		cells = append(cells, s.cell())
		if s.pos == len(s.text) {
			return cells
		}
		if s.text[s.pos] == '\n' {
			s.skipLine()
			return cells
		}
		s.advance(1)
		if len(cells) == maxColumns {
			s.faults.add(s.table.Fault(cells[0], "a row of over %d cells", maxColumns))
			s.skipLine()
			return cells
		}
	}
}

// cell reads one cell and stops before the delimiter or line end after it.
func (s *scanner) cell() Cell {
	c := Cell{Line: s.line, Column: s.column}
	if s.pos < len(s.text) && s.text[s.pos] == '"' {
		c.Text = s.quoted(c)
	} else {
		c.Text = s.plain()
	}
	c.Text = strings.TrimSpace(c.Text)
	if len(c.Text) > maxCellBytes {
		e := s.table.Fault(c, "a cell of %d bytes; at most %d are allowed", len(c.Text), maxCellBytes)
		e.Remedy = "see that the file is a table, with one row on each line, and that every quotation mark is closed"
		s.faults.add(e)
	}
	return c
}

func (s *scanner) plain() string {
	end := s.pos
	for end < len(s.text) && s.text[end] != s.delimiter && s.text[end] != '\n' {
		end++
	}
	text := s.text[s.pos:end]
	s.advance(len(text))
	return text
}

// quoted reads a cell in quotation marks, in which a doubled mark stands for one (RFC 4180, 2.5 to 2.7).
func (s *scanner) quoted(c Cell) string {
	length := closingQuote(s.text[s.pos+1:])
	if length < 0 {
		s.faults.add(s.table.Fault(c, "a quotation mark opens a cell here and none closes it"))
		s.pos = len(s.text)
		return ""
	}
	text := s.text[s.pos+1 : s.pos+1+length]
	s.advance(length + 2)
	s.skipBlanks()
	if rest := s.plain(); rest != "" {
		s.faults.add(s.table.Fault(c, "%s after the closing quotation mark of a cell; a mark inside it must be doubled", quote(rest)))
	}
	return strings.ReplaceAll(text, `""`, `"`)
}

// closingQuote is the place of the first quotation mark that is not doubled, or −1.
func closingQuote(text string) int {
	for i := 0; ; i += 2 {
		next := strings.IndexByte(text[i:], '"')
		if next < 0 {
			return -1
		}
		i += next
		if i+1 == len(text) || text[i+1] != '"' {
			return i
		}
	}
}

func (s *scanner) skipBlanks() {
	for s.pos < len(s.text) && (s.text[s.pos] == ' ' || s.text[s.pos] == '\t' && s.delimiter != '\t') {
		s.advance(1)
	}
}

// skipLine goes to the start of the next line.
func (s *scanner) skipLine() {
	s.line, s.column = s.line+1, 1
	if end := strings.IndexByte(s.text[s.pos:], '\n'); end >= 0 {
		s.pos += end + 1
	} else {
		s.pos = len(s.text)
	}
}

// advance goes on by a number of bytes.
func (s *scanner) advance(bytes int) {
	passed := s.text[s.pos : s.pos+bytes]
	s.pos += bytes
	if last := strings.LastIndexByte(passed, '\n'); last >= 0 {
		s.line += int32(strings.Count(passed, "\n"))
		s.column, passed = 1, passed[last+1:]
	}
	s.column += int32(utf8.RuneCountInString(passed))
}
