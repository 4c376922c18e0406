package main

import (
	"context"
	"errors"
	"io/fs"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/pdf"
	"ohmledger/report/xlsx"
	"ohmledger/templates"
)

// order is what a report is wanted of, and how.
type order struct {
	cells   pdf.Selection
	figures string       // folder for every figure by itself; empty: none wanted
	wording string       // folder of the laboratory's own sentences; empty: as job.yaml says
	share   health.Share // the cells that are judged; unset: all
	room    *scratch     // for what is too long for memory, as long as the document is used; nil: memory takes all
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
	d, err := worded(ctx, r, options, o.evidence(r.job), func(done, total int) {
		if ctx.Err() == nil {
			m.tell("fitting spectra:", done, total)
		}
	})
	return r, d, err
}

// evidence says which cells are judged, and whether their curves will be needed: they are drawn and listed in small jobs, and
// in those whose cells have sections of their own.
func (o order) evidence(j *job.Job) health.Evidence {
	drawn := o.cells != pdf.NoCells || o.figures != "" || o.share.Of > 0 || xlsx.ListsPoints(len(j.Measurements)) || cellsOf(j) == 1
	e := health.Evidence{Share: o.share, Sparse: !drawn}
	if e.Sparse && o.room != nil {
		e.Store = o.room.store()
	}
	return e
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
func worded(ctx context.Context, r *record, o report.Options, e health.Evidence, progress func(done, total int)) (*report.Document, error) {
	var err error
	if o.Words, err = report.ReadWords(o.Templates, r.job.Language, o.Overrides, o.OverridesName); err != nil {
		return nil, err
	}
	if e.Sparse {
		economise(len(r.job.Measurements), storageLimit())
	}
	inputs := r.inputs
	r.inputs = nil // the judgement has them now, and keeps what is needed
	e.Job, e.Inputs, e.Fixture, e.Phrase = r.job, inputs, r.fixture, o.Words.Phrase
	a, err := promptly(ctx, func() (*health.Assessment, error) { return health.Assess(ctx, e, progress) })
	if err != nil {
		return nil, err
	}
	return report.New(a, o)
}

// promptly waits for work until it is done or the context ends. A cell of hundreds of spectra takes seconds, within which the end
// of the context is not noticed; what is left behind then writes nothing, and ends with the cell or the process. A panic is an error.
func promptly[T any](ctx context.Context, work func() (T, error)) (T, error) {
	type outcome struct {
		value T
		err   error
	}
	done := make(chan outcome, 1)
	go func() {
		var o outcome
		o.err = guarded(func() (err error) {
			o.value, err = work()
			return err
		})
		done <- o
	}()
	select {
	case o := <-done:
		return o.value, o.err
	case <-ctx.Done():
		return outcome{}.value, ctx.Err()
	}
}

// interrupted says in words why the work ended.
func interrupted(err error) error {
	if errors.Is(err, context.Canceled) {
		return errors.New("interrupted; nothing was written")
	}
	return err
}
