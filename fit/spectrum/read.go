package spectrum

// Read reads one spectrum of a cell: text or workbook as ReadTable does, with a header row in the
// native names (frequency_hz, z_real_ohm, z_imag_ohm), in a spelling of the trade, or as mapped by
// columns. File is only the name for messages and for the spectrum. Points come out highest
// frequency first, those of equal frequency in the order of the file.
//
// A unit that neither heading nor columns tell is refused with the line to add to job.yaml. The sign
// of the imaginary part is that of the heading, or of columns.ImaginarySign; where a cell would be inductive at low
// frequency by it, it is refused unless both say so. At least 3 frequencies are needed, none of them
// with an impedance of zero; whether the points suffice for a fit is for the fit to say. The error is
// an Errors; with one there is no spectrum.
func Read(file string, data []byte, columns Columns) (*Spectrum, error) {
	return read(file, data, columns, true)
}

// ReadFixture reads the spectrum of a shorted fixture or lead, which is inductive throughout, so that
// the sign of the imaginary part is not held against the data. In all else it is Read.
func ReadFixture(file string, data []byte, columns Columns) (*Spectrum, error) {
	return read(file, data, columns, false)
}

func read(file string, data []byte, columns Columns, isCell bool) (*Spectrum, error) {
	table := &Table{File: file}
	columns = columns.trimmed()
	r := &reader{table: table, mapping: columns, remedy: columns, isCell: isCell, faults: table.parse(data, spectrumBounds)}
	s := r.spectrum()
	if err := r.err(); err != nil {
		return nil, err
	}
	return s, nil
}

// reader turns one table into a spectrum.
type reader struct {
	table    *Table
	mapping  Columns  // job.yaml's, as far as it is about this file
	remedy   Columns  // what job.yaml would have to say
	untold   []*Error // faults that the remedy mends
	faults   faults
	headings []string
	known    []column // with a heading of a known spelling
	foreign  bool     // job.yaml's columns name headings, none of which the file has
	marked   string   // how the heading of the imaginary part or phase would be marked as of the other sign
	isCell   bool
}

// cannotTell is a fault that a line in job.yaml mends; the caller sets that line in r.remedy.
func (r *reader) cannotTell(c Cell, format string, arguments ...any) {
	e := r.table.Fault(c, format, arguments...)
	r.untold = append(r.untold, e)
	r.faults.add(e)
}

// spectrum is complete only where no fault was found.
func (r *reader) spectrum() *Spectrum {
	if fault := r.mapping.fault(); fault != "" {
		r.faults.add(r.table.Fault(Cell{}, "%s", fault))
		return nil
	}
	if len(r.table.Header) == 0 {
		return nil
	}
	l := r.findLayout()
	if !l.whole() {
		return nil
	}
	points := r.points(l)
	units := r.units(l, points)
	points = r.convert(points, l, units)
	r.checkSign(l, points)
	return r.build(l, points)
}
