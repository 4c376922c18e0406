package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

	"ohmledger/report"
	"ohmledger/report/pdf"
	"ohmledger/report/xlsx"
)

// output is one file that is written.
type output struct {
	name  string
	write func(w io.Writer) error
}

// formats is the table of a report's files: one line a format.
var formats = []struct {
	name  string
	write func(w io.Writer, d *report.Document, r *record, cells pdf.Selection) error
}{
	{"report.pdf", func(w io.Writer, d *report.Document, r *record, cells pdf.Selection) error {
		var room scratch
		defer room.clear()
		return pdf.Options{Cells: cells, Logo: r.logo, Aside: room.open}.Write(w, d)
	}},
	{"report.xlsx", func(w io.Writer, d *report.Document, _ *record, _ pdf.Selection) error { return xlsx.Write(w, d) }},
	{"results.json", func(w io.Writer, d *report.Document, _ *record, _ pdf.Selection) error {
		return report.WriteResults(w, d)
	}},
}

// reportFiles are the files of a report, and their names.
func reportFiles(d *report.Document, r *record, cells pdf.Selection) []output {
	files := make([]output, len(formats))
	for i, f := range formats {
		files[i] = output{f.name, func(w io.Writer) error { return f.write(w, d, r, cells) }}
	}
	return files
}

// fillAll writes files into a staging folder, several at a time.
func (s *staging) fillAll(ctx context.Context, files []output, m *meter) error {
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, f := range files {
		to, err := s.create(f.name)
		if err != nil {
			return errors.Join(err, group.Wait())
		}
		group.Go(func() error {
			m.tell("writing files:", i+1, len(files))
			return guarded(func() error { return errors.Join(ctx.Err(), fill(to, f.write)) })
		})
	}
	return group.Wait()
}

// set is the files that go into one folder.
type set struct {
	folder string
	files  []output
	fresh  bool // none of them may be there yet
}

func (s *set) names() []string {
	names := make([]string, len(s.files))
	for i, f := range s.files {
		names[i] = f.name
	}
	return names
}

// writeSets writes all files of all folders, and puts them into place when the last is complete and sound finds no fault.
// A report stands first and is put into place last, so that it never lacks the figures that were ordered with it. An error
// says what became of the folders.
func writeSets(ctx context.Context, sets []set, sound func() error, m *meter) error {
	var done []string
	err := stageSets(ctx, sets, sound, m, func(folder string) { done = append(done, quoted(folder)) })
	switch {
	case err == nil, exitCode(err) != exitBroken, errors.Is(err, errLate), errors.Is(err, context.Canceled):
		return err
	case len(done) > 0:
		return fmt.Errorf("%w; new files are in %s, and the report is as it was", err, strings.Join(done, ", "))
	}
	return fmt.Errorf("%w; nothing was written, and what there was before is as it was", err)
}

func stageSets(ctx context.Context, sets []set, sound func() error, m *meter, placed func(folder string)) error {
	staged := make([]*staging, len(sets))
	for i, set := range sets {
		s, err := stage(set.folder, set.names(), m)
		if err != nil {
			return err
		}
		defer s.discard()
		s.fresh = set.fresh
		if err := s.fillAll(ctx, set.files, m); err != nil {
			return s.inWords(err)
		}
		staged[i] = s
	}
	if err := errors.Join(sound(), ctx.Err()); err != nil {
		return err
	}
	for _, s := range slices.Backward(staged) {
		if err := s.commit(); err != nil {
			return s.inWords(err)
		}
		placed(s.target)
	}
	return nil
}
