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
	figures string       // folder for every figure by itself; empty: none wanted
	wording string       // folder of the laboratory's own sentences; empty: as job.yaml says
	share   health.Share // the cells that are judged; unset: all
}

// judged reads a job, judges its cells and makes the document. Nothing is written yet.
func (o order) judged(ctx context.Context, files fs.FS, m *meter) (*record, *report.Document, error) {
	r, err := readRecord(ctx, files, m)
	if err != nil {
		return nil, nil, err
	}
	options, release, err := o.options(r)
	if err != nil {
		return nil, nil, err
	}
	defer release()
	d, err := worded(ctx, r, options, o.share, func(done, total int) { m.tell("fitting spectra:", done, total) })
	return r, d, err
}

// options are those of the document, with the laboratory's own sentences. Release closes their folder.
func (o order) options(r *record) (options report.Options, release func(), err error) {
	options = report.Options{Tool: tool(), Templates: templates.FS(), OverridesName: r.job.Wording}
	release = func() {}
	switch {
	case o.wording != "":
		folder, err := openFolder(o.wording, "folder of sentences")
		if err != nil {
			return options, release, err
		}
		options.Overrides, options.OverridesName = folder.FS(), o.wording
		release = func() { folder.Close() }
	case r.job.Wording != "":
		options.Overrides, err = fs.Sub(r.files, r.job.Wording)
	}
	return options, release, err
}

// worded judges in the sentences of the options, and makes the document.
func worded(ctx context.Context, r *record, o report.Options, share health.Share, progress func(done, total int)) (*report.Document, error) {
	var err error
	if o.Words, err = report.ReadWords(o.Templates, r.job.Language, o.Overrides, o.OverridesName); err != nil {
		return nil, err
	}
	a, err := health.Assess(ctx, health.Evidence{Job: r.job, Inputs: r.inputs, Fixture: r.fixture, Phrase: o.Words.Phrase, Share: share}, progress)
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
