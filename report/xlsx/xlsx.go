// Package xlsx writes a report as a workbook in which limits, coverage factor and decision rule are
// inputs, and growths, uncertainties, verdicts and their summary are formulas on them.
package xlsx

import (
	"io"

	"ohmledger/report"
)

// Write writes the workbook of a document. The same document gives the same bytes.
func Write(w io.Writer, d *report.Document) (err error) {
	b := newBook(d)
	if b.digest, err = report.Digest(d); err != nil {
		return err
	}
	defer func() {
		if closing := b.file.Close(); err == nil {
			err = closing
		}
	}()
	for _, write := range []func(*book) error{
		(*book).properties, (*book).summary, (*book).limits, (*book).results, (*book).criteria, (*book).grades,
		(*book).lot, (*book).distributions, (*book).spreadSheet, (*book).outliers, (*book).sampling, (*book).matching, (*book).members,
		(*book).departures, (*book).forecasts, (*book).baselines, (*book).budget, (*book).fits, (*book).quality,
		(*book).figures, (*book).spectra, (*book).settings, (*book).inputs,
	} {
		if err := write(b); err != nil {
			return err
		}
	}
	p, err := b.packed()
	if err != nil {
		return err
	}
	return p.write(w)
}
