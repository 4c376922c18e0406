// Package part keeps what was found out about a share of a job's cells, and makes the whole report of all shares.
package part

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// Part is what one machine found out about its share of a job's cells, with all that the whole report needs beside them.
type Part struct {
	Share  health.Share
	Tool   report.Tool
	Inputs string // SHA-256 over the names and digests of everything that was read: equal in all parts of a job
	Cells  int    // of the whole job
	Name   string // what the user calls the part, for messages; not written
	Judged health.Cells

	content
}

// content is what stands in the part but for its head.
type content struct {
	Job         job.Job // without measurements, which are the cells', and with the sources that are no spectra
	Temperature health.Temperature
	Doubts      []fit.Doubt
	Logo        []byte
	Sentences   []byte       // the laboratory's own ones, a ZIP archive; nil where there are none
	Folder      string       // what the user calls the folder of these
	Spectra     []job.Source // of the cells' measurements, in their order
}

// Ingredients are what a part is made of. The assessment is of the share's cells.
type Ingredients struct {
	Share      health.Share
	Tool       report.Tool
	Assessment *health.Assessment
	Cells      int // of the whole job
	Logo       []byte
	Sentences  fs.FS  // the laboratory's own; nil where there are none
	Folder     string // what the user calls it
}

// New is the part of a share. Its error is about the sentences.
func New(i Ingredients) (*Part, error) {
	a := i.Assessment
	p := &Part{Share: i.Share, Tool: i.Tool, Cells: i.Cells, Judged: a.Cells,
		content: content{Job: *a.Job, Temperature: a.Temperature, Doubts: a.Doubts, Logo: i.Logo, Folder: i.Folder}}
	var err error
	if p.Sentences, err = packed(i.Sentences); err != nil {
		return nil, err
	}
	p.Inputs = p.digest(a.Job.Sources)
	spectra := map[string]job.Source{}
	for _, s := range a.Job.Sources {
		spectra[s.File] = s
	}
	for _, c := range a.Cells.All() {
		for _, m := range c.Measurements {
			p.Spectra = append(p.Spectra, spectra[m.Row.File])
		}
	}
	p.Job.Sources = a.Job.Sources[:len(a.Job.Sources)-len(a.Job.Measurements)]
	p.Job.Measurements = nil
	return p, nil
}

// digest of everything that was read.
func (p *Part) digest(sources []job.Source) string {
	sum := sha256.New()
	for _, s := range sources {
		fmt.Fprintf(sum, "%q %s\n", s.File, s.SHA256)
	}
	fmt.Fprintf(sum, "%q %d %x\n", p.Folder, len(p.Sentences), sha256.Sum256(p.Sentences))
	return hex.EncodeToString(sum.Sum(nil))
}

// packed puts the files of a folder of sentences into an archive; equal files give equal bytes.
func packed(folder fs.FS) ([]byte, error) {
	if folder == nil {
		return nil, nil
	}
	names, err := fs.Glob(folder, "*.tmpl")
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	archive := zip.NewWriter(&b)
	for _, name := range names {
		text, err := fs.ReadFile(folder, name)
		if err != nil {
			return nil, err
		}
		f, err := archive.Create(name)
		if err != nil {
			return nil, err
		}
		if _, err := f.Write(text); err != nil {
			return nil, err
		}
	}
	err = archive.Close()
	return b.Bytes(), err
}

// sentences are the files of an archive; nil where there is none.
func (p *Part) sentences() (fs.FS, error) {
	if p.Sentences == nil {
		return nil, nil
	}
	return zip.NewReader(bytes.NewReader(p.Sentences), int64(len(p.Sentences)))
}

// Whole makes the document of all parts, and gives the laboratory's logo. Templates are the embedded ones. Parts that do not
// make one job are refused in a Fault.
func Whole(parts []*Part, templates fs.FS) (d *report.Document, logo []byte, err error) {
	if parts, err = inOrder(parts); err != nil {
		return nil, nil, err
	}
	first := parts[0]
	j := first.Job
	judged := make([]health.Cells, len(parts))
	var spectra []job.Source
	for i, p := range parts {
		judged[i], spectra = p.Judged, append(spectra, p.Spectra...)
	}
	cells := health.Joined(judged)
	j.Measurements = make([]job.Measurement, 0, len(spectra))
	for _, c := range cells.All() {
		for k := range c.Measurements {
			m := &c.Measurements[k]
			j.Measurements = append(j.Measurements, *m.Row)
			m.Row = &j.Measurements[len(j.Measurements)-1] // of cells that are packed the copy is theirs
		}
	}
	j.Sources = append(j.Sources[:len(j.Sources):len(j.Sources)], spectra...)
	o := report.Options{Tool: first.Tool, Templates: templates, OverridesName: first.Folder}
	if o.Overrides, err = first.sentences(); err != nil {
		return nil, nil, err
	}
	if o.Words, err = report.ReadWords(templates, j.Language, o.Overrides, o.OverridesName); err != nil {
		return nil, nil, err
	}
	d, err = report.New(health.Whole(&j, first.Temperature, first.Doubts, cells, o.Words.Phrase), o)
	return d, first.Logo, err
}

// Fault says in words why parts cannot be put together, or a file is none.
type Fault struct{ Message string }

func (f *Fault) Error() string { return f.Message }

func faulty(format string, arguments ...any) error {
	return &Fault{fmt.Sprintf(format, arguments...)}
}
