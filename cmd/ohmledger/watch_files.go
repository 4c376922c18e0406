package main

import (
	"errors"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"ohmledger/fit/spectrum"
)

// spectrumEndings are those of files in which instruments and people leave spectra (common practice).
var spectrumEndings = []string{".csv", ".txt", ".tsv", ".tab", ".dat", ".asc", ".xlsx"}

// mayBeSpectrum reports whether a file may hold a spectrum by its name. What begins with a dot or a tilde is an editor's.
func mayBeSpectrum(name string) bool {
	return name != "" && !strings.ContainsAny(name[:1], ".~") && slices.Contains(spectrumEndings, strings.ToLower(filepath.Ext(name)))
}

// errNoSpectrum says that a file is something else, of which nothing need be said.
var errNoSpectrum = errors.New("no spectrum")

// isSomethingElse reports whether a file that could not be read as a spectrum is plainly none: a job's table, or text
// without a spectrum's header and without columns of numbers.
func isSomethingElse(name string, data []byte) bool {
	table, err := spectrum.ReadTable(name, data)
	if err != nil {
		return !hasNumbers(string(data))
	}
	if isJobTable(table) {
		return true
	}
	frequencies, parts := table.Headings()
	if frequencies > 0 && (parts > 0 || rowsWith(table, fewestNumbers-1) > 0) {
		return false // a sweep that ended at once, or whose other columns are missing
	}
	return rowsWith(table, fewestNumbers) < fewestRows
}

// rowsWith counts the rows that hold so many numbers at least.
func rowsWith(t *spectrum.Table, fewest int) (n int) {
	for _, row := range t.Rows {
		if numbersIn(row.Cells) >= fewest {
			n++
		}
	}
	return n
}

// A spectrum has a frequency and two parts, in three rows at least.
const (
	fewestNumbers = 3
	fewestRows    = 3
)

// isJobTable reports whether a table is a job's, by the columns that it must have.
func isJobTable(t *spectrum.Table) bool {
	needed := map[string]bool{"cell": true, "file": true, "measured_at": true}
	for _, c := range t.Header {
		delete(needed, strings.ToLower(c.Text))
	}
	return len(needed) == 0
}

func numbersIn(cells []spectrum.Cell) (n int) {
	for _, c := range cells {
		if c.Kind == spectrum.Number || strings.ContainsAny(c.Text, "0123456789") && !strings.ContainsFunc(c.Text, isNoDigit) {
			n++
		}
	}
	return n
}

// isNoDigit reports whether a character has no place in a number.
func isNoDigit(r rune) bool { return !strings.ContainsRune("0123456789+-−.,eE ", r) }

// hasNumbers reports whether some lines of a text hold the numbers of a point.
func hasNumbers(text string) bool {
	rows := 0
	for line := range strings.Lines(text) {
		fields := strings.FieldsFunc(line, func(r rune) bool { return r == ';' || r == '\t' || r == ' ' || r == '\n' || r == '\r' })
		if strings.Count(line, ",") >= fewestNumbers-1 {
			fields = strings.Split(strings.TrimSpace(line), ",")
		}
		cells := make([]spectrum.Cell, len(fields))
		for i, f := range fields {
			cells[i].Text = strings.TrimSpace(f)
		}
		if numbersIn(cells) >= fewestNumbers {
			rows++
		}
	}
	return rows >= fewestRows
}

func sortedNames(files map[string]*landing) []string { return slices.Sorted(maps.Keys(files)) }
