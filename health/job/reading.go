package job

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"ohmledger/fit/spectrum"
)

// reading is job.yaml while it is read: it gathers the faults and what defaults have filled.
type reading struct {
	file      string
	folder    *folder
	faults    spectrum.Errors
	defaulted []string
}

// place is a node with the names that lead to it, e.g. "conditions.soc_percent".
type place struct {
	path string
	*node
}

// below is the place of a key of the group at p.
func (p place) below(name string) place {
	path := name
	if p.path != "" {
		path = p.path + "." + name
	}
	return place{path, p.under(name)}
}

// fault adds a fault at a node.
func (r *reading) fault(n *node, remedy, format string, arguments ...any) {
	r.faultAt(n.line, n.column, remedy, format, arguments...)
}

func (r *reading) faultAt(line, column int, remedy, format string, arguments ...any) {
	r.faults = append(r.faults, &spectrum.Error{File: r.file, Line: line, Column: column,
		Message: fmt.Sprintf(format, arguments...), Remedy: remedy})
}

// refuse adds a fault at a key's value.
func (r *reading) refuse(p place, remedy, format string, arguments ...any) {
	r.fault(p.node, remedy, "%s: %s", p.path, fmt.Sprintf(format, arguments...))
}

// sound says that no fault has been found at a place.
func (r *reading) sound(p place) bool {
	return !slices.ContainsFunc(r.faults, func(e *spectrum.Error) bool { return e.Line == p.line && e.Column == p.column })
}

// maxFaults of one file are listed; who has more mends these first.
const maxFaults = 50

// limited puts the faults of one file in order of place.
func limited(faults spectrum.Errors) spectrum.Errors {
	slices.SortStableFunc(faults, func(a, b *spectrum.Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if more := len(faults) - maxFaults; more > 0 {
		rest := &spectrum.Error{File: faults[0].File, Message: fmt.Sprintf("%d more faults of this file are not listed", more)}
		return append(faults[:maxFaults:maxFaults], rest)
	}
	return faults
}

// quote shows text of the user's in a message: harmless on a terminal, and never longer than a line can bear.
func quote(text string) string {
	const most = 60
	end := ""
	if runes := []rune(text); len(runes) > most {
		text, end = string(runes[:most]), "…"
	}
	if strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return strconv.Quote(text) + end
	}
	return `"` + text + `"` + end
}

// alternatives writes words as a choice: "a, b or c".
func alternatives[S ~string](words []S) string {
	text := make([]string, len(words))
	for i, w := range words {
		text[i] = string(w)
	}
	last := len(text) - 1
	if last < 1 {
		return strings.Join(text, "")
	}
	return strings.Join(text[:last], ", ") + " or " + text[last]
}

// maxBlankLines bounds blank lines in a row: parsing time grows with their square.
const maxBlankLines = 100

// printable refuses what is no text: other encodings, control characters (YAML 1.2.2, 5.1), and endless blanks.
func (r *reading) printable(text string) bool {
	blanks := 0
	for number, line := range strings.Split(text, "\n") {
		if blanks++; strings.TrimSpace(line) != "" {
			blanks = 0
		}
		if blanks > maxBlankLines {
			r.faultAt(number+1, 0, "remove them", "more than %d blank lines in a row", maxBlankLines)
			return false
		}
		if column, fault, remedy := oddity(line); fault != "" {
			r.faultAt(number+1, column, remedy, "%s", fault)
			return false
		}
	}
	return true
}

// oddity finds the first character of a line that is no text.
func oddity(line string) (column int, fault, remedy string) {
	const save = "save the file as UTF-8 text"
	for i, char := range line {
		column++
		_, size := utf8.DecodeRuneInString(line[i:])
		switch {
		case char == utf8.RuneError && size == 1:
			return column, fmt.Sprintf("byte 0x%02X is not UTF-8 text; the file was saved in another encoding or is no text at all", line[i]), save
		case char == 0:
			return column, "a NUL byte; the file was saved as UTF-16 or is no text at all", save
		case unicode.IsControl(char) && char != '\t' && char != '\u0085':
			return column, fmt.Sprintf("an invisible control character (%U)", char), "remove it, or type the line anew"
		}
	}
	return 0, "", ""
}
