// Package pdf writes a report as PDF.
package pdf

import (
	"io"

	"ohmledger/health"
	"ohmledger/report"
)

// Write writes a report with a section for every cell and without a logo.
func Write(w io.Writer, d *report.Document) error { return Options{}.Write(w, d) }

// Options are what the reader of the file chooses about it, beyond what the document says.
type Options struct {
	Cells Selection // which cells have a section of their own
	Logo  []byte    // the laboratory's logo, a PNG or JPEG; none where empty
	// Aside makes room outside of memory for what is too long for it, and is the caller's to clear away; nil: all stands in
	// memory until it is written.
	Aside func() (io.ReadWriteSeeker, error)
}

// Selection of cells.
type Selection string

const (
	AllCells    Selection = ""       // every cell
	FailedCells Selection = "failed" // those that did not pass: failed, conditionally failed or not evaluated
	NoCells     Selection = "none"
)

func (s Selection) holds(c *health.Cell) bool {
	switch s {
	case NoCells:
		return false
	case FailedCells:
		return c.Verdict != health.Pass && c.Verdict != health.ConditionalPass
	}
	return true
}

// Write writes a report. The same document and options give the same bytes. Characters that the typeface
// lacks are replaced, and listed before the end of the report.
func (o Options) Write(w io.Writer, d *report.Document) error {
	c, err := compose(d, o)
	if err != nil {
		return err
	}
	f, err := c.render()
	if err != nil {
		return err
	}
	if err := f.seal(); err != nil {
		return err
	}
	_, err = f.WriteTo(w)
	return err
}
