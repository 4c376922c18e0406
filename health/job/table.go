package job

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"

	"ohmledger/fit/spectrum"
)

const (
	textTable = "measurements.csv"
	bookTable = "measurements.xlsx"

	maxTableBytes = 64 << 20
)

// sheet is the measurement table while it is read.
type sheet struct {
	*spectrum.Table
	columns []*column // by place in the header; nil for what is kept but not known
	numbers spectrum.Numbers
	faults  spectrum.Errors
	fields  map[string]map[string]string // of unknown columns: rows that hold the same share them
}

// readTable reads the measurement table into the job.
func (j *Job) readTable(folder *folder) spectrum.Errors {
	name, fault := tableName(folder)
	if fault != nil {
		return spectrum.Errors{fault}
	}
	data, fault := j.source(folder.files, name, maxTableBytes)
	if fault != nil {
		return spectrum.Errors{fault}
	}
	table, err := spectrum.ReadTable(name, data)
	var faults spectrum.Errors
	if errors.As(err, &faults) {
		return faults
	}
	j.Table = name
	s := &sheet{Table: table}
	s.header()
	if len(s.faults) == 0 {
		j.Measurements = s.measurements(folder, j.Cell)
		j.ExtraColumns = s.extra()
	}
	return limited(s.faults)
}

// tableName finds the one table of the job.
func tableName(folder *folder) (string, *spectrum.Error) {
	_, text := folder.list(".").kinds[textTable]
	_, book := folder.list(".").kinds[bookTable]
	switch {
	case text && book:
		return "", &spectrum.Error{File: textTable, Message: "stands beside " + bookTable + "; a job has one measurement table",
			Remedy: "move the one that does not count out of the job folder"}
	case book:
		return bookTable, nil
	case text:
		return textTable, nil
	}
	for _, name := range []string{textTable, bookTable} {
		if other, ok := folder.list(".").folded[name]; ok {
			return "", &spectrum.Error{File: other, Message: "the measurement table must be named " + name + ", in small letters", Remedy: "rename the file"}
		}
	}
	return "", &spectrum.Error{File: textTable, Message: "there is no such file in the job folder, nor a " + bookTable,
		Remedy: "`ohmledger new` writes a starter to begin from"}
}

// measurements reads the rows, in order of cell as first named, then time, then row.
func (s *sheet) measurements(folder *folder, kind CellType) []Measurement {
	list := make([]Measurement, 0, len(s.Rows))
	for _, row := range s.Rows {
		list = append(list, s.measurement(row))
	}
	if len(list) == 0 {
		s.fault(spectrum.Cell{}, "add a row for each measured spectrum", "no row under the header; at least one measurement is needed")
	}
	s.commented()
	s.lookFor(list, folder)
	s.doubled(list)
	s.spellings(list)
	s.fractions(list)
	s.capacities(list, kind.NominalCapacityAh)
	first := map[string]int{}
	for i, m := range list {
		if _, known := first[m.Cell]; !known {
			first[m.Cell] = i
		}
	}
	slices.SortStableFunc(list, func(a, b Measurement) int {
		return cmp.Or(cmp.Compare(first[a.Cell], first[b.Cell]), a.MeasuredAt.Compare(b.MeasuredAt))
	})
	return list
}

// commented refuses rows that a # makes comments, as a cell's label that begins with one does: they would be lost without a
// word. A comment with a blank after its # is meant as one, and so is one that has fewer cells than a row needs.
func (s *sheet) commented() {
	needed := len(s.neededNames())
	for _, c := range s.Comments {
		label := c.Text[1:]
		if strings.TrimLeft(label, " \t#") != label || s.Width(c) < needed {
			continue
		}
		s.fault(c, "put the label in quotes where the # belongs to it, or a blank after the # where the row is not to count",
			"%s is skipped as a comment, since it begins with #, and looks like a row", quote(c.Text))
	}
}

// measurement reads one row.
func (s *sheet) measurement(row spectrum.Row) Measurement {
	m := Measurement{TemperatureUncertaintyC: unstated, Line: row.Line, Extra: s.unknown(row)}
	for i, c := range row.Cells {
		known := s.columns[i]
		switch {
		case known == nil || c.Blank() && !known.needed:
		case c.Blank():
			s.fault(c, "", "%s is blank; every measurement needs it", known.name)
		default:
			if fault, remedy := known.read(&m, c, s.numbers); fault != "" {
				s.fault(c, remedy, "%s: %s", known.name, fault)
			}
		}
	}
	return m
}

// unknown are a row's fields in columns that are kept but not known; nil where all are blank.
func (s *sheet) unknown(row spectrum.Row) map[string]string {
	var key []byte
	for i, c := range row.Cells {
		if s.columns[i] == nil && !c.Blank() {
			key = append(strconv.AppendInt(key, int64(i), 10), ' ')
			key = append(strconv.AppendQuote(key, c.Text), ' ')
		}
	}
	if len(key) == 0 {
		return nil
	}
	if fields, read := s.fields[string(key)]; read {
		return fields
	}
	fields := map[string]string{}
	for i, c := range row.Cells {
		if s.columns[i] == nil && !c.Blank() {
			fields[s.Header[i].Text] = c.Text
		}
	}
	if s.fields == nil {
		s.fields = map[string]map[string]string{}
	}
	s.fields[string(key)] = fields
	return fields
}

// unstated marks an uncertainty that the conditions fill in.
const unstated = -1

func (s *sheet) extra() []string {
	var names []string
	for i, c := range s.Header {
		if s.columns[i] == nil && !c.Blank() {
			names = append(names, c.Text)
		}
	}
	return names
}

func (s *sheet) fault(c spectrum.Cell, remedy, format string, arguments ...any) {
	fault := s.Fault(c, format, arguments...)
	fault.Remedy = remedy
	s.faults = append(s.faults, fault)
}

// at is the cell of a known column in the row that a measurement came from.
func (s *sheet) at(i int, name string) spectrum.Cell {
	column := slices.IndexFunc(s.columns, func(c *column) bool { return c != nil && c.name == name })
	return s.Rows[i].Cells[column]
}

// lookFor finds every spectrum in the job folder.
func (s *sheet) lookFor(list []Measurement, folder *folder) {
	for i, m := range list {
		if m.File == "" {
			continue
		}
		if fault, remedy := folder.lack(m.File, aFile); fault != "" {
			s.fault(s.at(i, "file"), remedy, "%s", fault)
		}
	}
}

// doubled refuses a spectrum that two rows name: it would count twice.
func (s *sheet) doubled(list []Measurement) {
	first := map[string]int{}
	for i, m := range list {
		if m.File == "" {
			continue
		}
		if earlier, again := first[m.File]; again {
			s.fault(s.at(i, "file"), "remove the row, or name the spectrum that was meant", "%s stands in line %d already; each spectrum counts once", quote(m.File), list[earlier].Line)
			continue
		}
		first[m.File] = i
	}
}
