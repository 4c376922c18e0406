package spectrum

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// delimiters in the order in which they are tried; the comma last, since it may be a decimal sign.
const delimiters = "\t;,"

// parseText reads delimited text. The cells share the memory of the one decoded string.
func (t *Table) parseText(data []byte, most bounds) faults {
	s := &scanner{table: t, text: decode(data), line: 1, column: 1}
	s.refuseControlCharacters()
	if lines := strings.Count(s.text, "\n"); lines > most.cells {
		e := t.Fault(Cell{}, "%d lines; at most %d are allowed", lines, most.cells)
		e.Remedy = "see that it is the right file"
		s.faults.add(e)
	}
	if s.faults.count() == 0 {
		s.detectDelimiter()
		t.delimiter = s.delimiter
		t.readRecords(s, most.cells, &s.faults)
	}
	return s.faults
}

// refuseControlCharacters tells text from other files and keeps what no cell can hold out of reports.
func (s *scanner) refuseControlCharacters() {
	at := strings.IndexFunc(s.text, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' })
	if at < 0 {
		return
	}
	before := s.text[:at]
	place := Cell{
		Line:   int32(1 + strings.Count(before, "\n")),
		Column: int32(1 + utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:])),
	}
	r, _ := utf8.DecodeRuneInString(s.text[at:])
	e := s.table.Fault(place, "an invisible control character (%U), as in files that are no text; delimited text or an .xlsx workbook is needed", r)
	e.Remedy = "save or export the file as text (CSV), or type the line anew where it is text"
	s.faults.add(e)
}

// detectDelimiter takes the first delimiter that splits header and first row into equally many cells,
// with every quotation closed before one, else the one that splits the header into most. A first line "sep=;" settles it, as
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
		trial.table, trial.delimiter = &Table{}, d
		header, _ := trial.record(nil)
		row, _ := trial.record(nil)
		if len(header) > 1 && len(header) == len(row) && trial.faults.count() == s.faults.count() {
			s.delimiter = d
			return
		}
		if len(header) > most {
			s.delimiter, most = d, len(header)
		}
	}
}
