// Package spectrum holds one measured impedance spectrum and reads it from text and workbooks.
package spectrum

// Spectrum is one measured impedance spectrum in SI units, highest frequency first.
// Frequency and Impedance have the same length; every value is finite, every
// frequency positive. Points of equal frequency are kept as measured.
type Spectrum struct {
	File      string       // as named in the job, slash-separated
	Frequency []float64    // Hz
	Impedance []complex128 // ohm; Z = Z' + jZ'', capacitive means Z'' < 0
	Line      []int        // line of the file, or row of the sheet, that each point came from
	Notes     []Note       // what reading had to settle, for the quality findings
}

// Note is something that reading settled by rule and that a reader of the report may want to know.
type Note struct {
	Kind NoteKind
	Line int    // 0 where the note is about the whole file
	Text string // plain words, complete sentence

	FrequencyHz float64 // of the first point that Text is about; 0 where it is about none
	Points      int     // that Text counts: repeats
	Columns     Columns // of job.yaml that were used; none where the file was read by its own headings although job.yaml has some
}

// NoteKind tells notes apart without reading their text.
type NoteKind int

const (
	OutOfOrder NoteKind = iota + 1 // points were not in one direction of frequency
	Doubled                        // a frequency stands more than once
	Mapped                         // header, sign or unit were taken from job.yaml's columns
)

// Columns maps the headers of spectrum files that do not use a known spelling; it is job.yaml's `columns`.
type Columns struct {
	Frequency, Real, Imaginary, Magnitude, Phase string // header text, compared without case and outer blanks
	Unit                                         string // "ohm" or "mohm" (also Ω, mΩ); empty: as the header says
	ImaginarySign                                string // "" as the header says, "+" the column holds Z'' (or the phase), "-" its negative
}
