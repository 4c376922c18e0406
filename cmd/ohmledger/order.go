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
	options := report.Options{Tool: tool(), Templates: templates.FS(), OverridesName: r.job.Wording}
	switch {
	case o.wording != "":
		folder, err := openFolder(o.wording, "folder of sentences")
		if err != nil {
			return nil, nil, err
		}
		defer folder.Close()
		options.Overrides, options.OverridesName = folder.FS(), o.wording
	case r.job.Wording != "":
		if options.Overrides, err = fs.Sub(r.files, r.job.Wording); err != nil {
			return nil, nil, err
		}
	}
	d, err := worded(ctx, r, options, func(done, total int) { m.tell("fitting spectra:", done, total) })
	return r, d, err
}

// worded judges in the sentences of the options, and makes the document.
func worded(ctx context.Context, r *record, o report.Options, progress func(done, total int)) (*report.Document, error) {
	var err error
	if o.Words, err = report.ReadWords(o.Templates, r.job.Language, o.Overrides, o.OverridesName); err != nil {
		return nil, err
	}
	a, err := health.Assess(ctx, health.Evidence{Job: r.job, Inputs: r.inputs, Fixture: r.fixture, Phrase: o.Words.Phrase}, progress)
	if err != nil {
		return nil, err
	}
	return report.New(a, o)
}

// interrupted says in words why the work ended.
func interrupted(err error) error {
	if errors.Is(err, context.Canceled) {
		return errors.New("interrupted; nothing was written")
	}
	return err
}
