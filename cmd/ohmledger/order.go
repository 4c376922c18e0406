package main

import (
	"context"
	"errors"
	"io/fs"

	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/pdf"
	"ohmledger/templates"
)

// order is what a report is wanted of, and how.
type order struct {
	cells   pdf.Selection
	figures string // folder for every figure by itself; empty: none wanted
	wording string // folder of the laboratory's own sentences; empty: as job.yaml says
}

// judged reads a job, judges its cells and makes the document. Nothing is written yet.
func (o order) judged(ctx context.Context, files fs.FS, m *meter) (*record, *report.Document, error) {
	r, err := readRecord(ctx, files, m)
	if err != nil {
		return nil, nil, err
	}
	a, err := health.Assess(ctx, r.job, r.inputs, func(done, total int) { m.tell("fitting spectra:", done, total) })
	if err != nil {
		return nil, nil, err
	}
	d, err := o.worded(r, a)
	return r, d, err
}

// worded gives the assessment its sentences.
func (o order) worded(r *record, a *health.Assessment) (*report.Document, error) {
	options := report.Options{Tool: tool(), Templates: templates.FS()}
	switch {
	case o.wording != "":
		folder, err := openFolder(o.wording, "folder of sentences")
		if err != nil {
			return nil, err
		}
		defer folder.Close()
		options.Overrides, options.OverridesName = folder.FS(), o.wording
	case r.job.Wording != "":
		folder, err := fs.Sub(r.files, r.job.Wording)
		if err != nil {
			return nil, err
		}
		options.Overrides = folder
	}
	return report.New(a, options)
}

// interrupted says in words why the work ended.
func interrupted(err error) error {
	if errors.Is(err, context.Canceled) {
		return errors.New("interrupted; nothing was written")
	}
	return err
}
