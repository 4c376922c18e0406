package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ohmledger/report"
	"ohmledger/report/pdf"
	"ohmledger/report/xlsx"
)

// Names of the report's files.
const (
	pdfName, bookName, resultsName = "report.pdf", "report.xlsx", "results.json"
)

// mostReportBytes is what a file of a report may have; one of ten thousand cells with eight spectra each has half of it.
const mostReportBytes = 1 << 30

// exhibit is a file of a report as it lies there.
type exhibit struct {
	name   string // that it is known by
	path   string
	data   []byte
	digest string
	pdf    *pdf.File  // of a PDF that could be read
	book   *xlsx.File // of a workbook that could be read
}

// kinds of files by their beginning. A damaged one is known by its name.
var kinds = []struct{ begins, name string }{{"%PDF-", pdfName}, {"PK\x03\x04", bookName}, {"{\n \"schema\": \"ohmledger/", resultsName}}

// gather reads the files of a report, from their folder or one alone.
func (v *verification) gather(out string) (alone bool, err error) {
	info, err := os.Stat(out)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, refuse("there is no folder or file %s", quoted(out))
	case err != nil:
		return false, refuse("%s cannot be read: %v", quoted(out), err)
	case !info.IsDir():
		return true, v.gatherOne(out)
	}
	for _, f := range formats {
		e, err := readExhibit(filepath.Join(out, f.name), f.name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			v.object(f.name, "is missing")
		case err != nil:
			return false, err
		default:
			v.exhibits = append(v.exhibits, e)
		}
	}
	if len(v.exhibits) == 0 {
		v.tellRemains(out)
		return false, refuse("%s", strings.Join(append([]string{
			fmt.Sprintf("%s holds no report: there is neither %s nor %s nor %s", quoted(out), pdfName, bookName, resultsName)}, v.notes...), "\n"))
	}
	return false, nil
}

func (v *verification) gatherOne(path string) error {
	e, err := readExhibit(path, filepath.Base(path))
	if err != nil {
		return err
	}
	for _, k := range kinds {
		if bytes.HasPrefix(e.data, []byte(k.begins)) || e.name == k.name {
			e.name = k.name
			v.exhibits = []*exhibit{e}
			return nil
		}
	}
	return refuse("%s is no file of a report; name a folder with a report, or one of its files", quoted(path))
}

// readExhibit reads a regular file. It looks before it opens, since opening a pipe may never end.
func readExhibit(path, name string) (*exhibit, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, err
	case err != nil:
		return nil, refuse("%s cannot be read: %v", quoted(path), err)
	case !info.Mode().IsRegular():
		return nil, refuse("%s is no file", quoted(path))
	case info.Size() > mostReportBytes:
		return nil, refuse("%s has %d bytes; at most %d are read", quoted(path), info.Size(), mostReportBytes)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, refuse("%s cannot be read: %v", quoted(path), err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostReportBytes))
	if err != nil {
		return nil, refuse("%s cannot be read: %v", quoted(path), err)
	}
	return &exhibit{name: name, path: path, data: data, digest: digestOf(data)}, nil
}

func digestOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// compareFiles holds the files against one another and against what they say of themselves.
func (v *verification) compareFiles(signed bool) {
	if e := v.exhibit(resultsName); e != nil {
		v.adopt(e.data, resultsName)
	}
	if e := v.exhibit(pdfName); e != nil {
		v.comparePDF(e, signed)
	}
	if e := v.exhibit(bookName); e != nil {
		v.compareBook(e)
	}
}

// adopt takes results for the ones that everything is held against, where they can be read.
func (v *verification) adopt(data []byte, file string) {
	var c claims
	err := json.Unmarshal(data, &c)
	switch {
	case err != nil:
		v.object(file, "holds no results of ohmledger: %v", err)
	case c.Schema != report.ResultsSchema:
		v.object(file, "has the schema %q; this version knows %q", c.Schema, report.ResultsSchema)
	default:
		v.results, v.claims = data, c.gathered()
	}
}

func (v *verification) comparePDF(e *exhibit, signed bool) {
	var err error
	if e.pdf, err = pdf.Open(e.data); err != nil {
		e.pdf = nil
		v.object(e.name, "%v", err)
		return
	}
	if !e.pdf.Sealed {
		v.object(e.name, "was changed after it was written")
	}
	if n := e.pdf.Added; n > 0 && signed {
		v.notef("%s: %d bytes were added after it was written; a PDF reader shows what they are and what a signature covers", e.name, n)
	} else if n > 0 {
		v.object(e.name, "%d bytes were added after it was written: a signature, a note or a change; with --signed they do not count", n)
	}
	v.compareAttached(e)
}

// compareAttached holds what the PDF has attached against what its pages and results.json say.
func (v *verification) compareAttached(e *exhibit) {
	attached := digestOf(e.pdf.Results)
	states := func(page []string) bool {
		return slices.ContainsFunc(page, func(text string) bool { return strings.Contains(text, attached) })
	}
	if !slices.ContainsFunc(e.pdf.Pages, states) {
		v.object(e.name, "its pages do not state the SHA-256 of the %s that is attached, %s", resultsName, attached)
	}
	switch beside := v.exhibit(resultsName); {
	case beside == nil || v.results == nil:
		v.adopt(e.pdf.Results, e.name+" (attached "+resultsName+")")
	case beside.digest != attached:
		v.object(e.name, "belongs to other results: the %s attached to it has SHA-256 %s, the one beside it %s", resultsName, attached, beside.digest)
		if d, err := report.CompareResults(e.pdf.Results, v.results); err == nil {
			v.objectAll(e.name, d, byResults)
		}
	}
}

func (v *verification) compareBook(e *exhibit) {
	var err error
	if e.book, err = xlsx.Open(e.data); err != nil {
		e.book = nil
		v.object(e.name, "%v", err)
		return
	}
	if !e.book.Sealed {
		v.object(e.name, "was changed after it was written, if only by being saved anew")
	}
	if of := e.book.Results; v.results != nil && of != digestOf(v.results) {
		v.object(e.name, "%s", foreignBook(of, digestOf(v.results)))
	}
}

func foreignBook(states, here string) string {
	if states == "" {
		return "does not state which " + resultsName + " it belongs to"
	}
	return fmt.Sprintf("belongs to other results: it states %s with SHA-256 %s, the one here has %s", resultsName, states, here)
}
