package main

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/part"
)

// partName is the file of a part in its folder.
const partName = "part.ohmledger"

// mostParts is how many shares a job may be judged in: far beyond any use.
const mostParts = 1_000_000

// jobShare is a share of a job as the command line names it: 3/16.
type jobShare struct{ health.Share }

// UnmarshalText reads I/N.
func (s *jobShare) UnmarshalText(text []byte) error {
	number, of, found := strings.Cut(string(text), "/")
	i, errI := strconv.Atoi(number)
	n, errN := strconv.Atoi(of)
	if !found || errI != nil || errN != nil || i < 1 || i > n || n > mostParts {
		return fmt.Errorf("%s is no share; allowed: I/N, such as 3/16, with I from 1 to N", quoted(string(text)))
	}
	s.Share = health.Share{Number: i, Of: n}
	return nil
}

// judgePart judges a share of the cells and writes it as a part.
func (c *reportCommand) judgePart(ctx context.Context, con *console, files fs.FS) error {
	switch {
	case c.Figures != "":
		return refuse("--figures is a matter of merge, which has all cells")
	case c.Cells != allCells:
		return refuse("--cells is a matter of merge, which writes the PDF")
	}
	if c.Out == "" {
		c.Out = filepath.Join(c.Job, "parts", fmt.Sprintf("%d-of-%d", c.Part.Number, c.Part.Of))
	}
	o := order{wording: c.Wording, share: c.Part.Share}
	d, cells, err := o.part(ctx, con, files, c.Job, c.Out)
	if err != nil {
		return err
	}
	from, to := c.Part.Cells(cells)
	con.say("part %d of %d: %s of %d", c.Part.Number, c.Part.Of, count(to-from, "cell", "cells"), cells)
	con.say("%s", filepath.Join(c.Out, partName))
	return verdictError(d, c.VerdictExit)
}

// part reads the job in a folder, judges a share of it and writes the part into out, complete or not at all. It gives how many
// cells the job has.
func (o order) part(ctx context.Context, con *console, files fs.FS, folder, out string) (*report.Document, int, error) {
	m := con.meter()
	defer m.clear()
	r, err := readRecord(ctx, files, m)
	if err != nil {
		return nil, 0, err
	}
	if err := apart(out, o.inputFolders(r.job, folder)); err != nil {
		return nil, 0, err
	}
	options, release, err := o.options(r)
	if err != nil {
		return nil, 0, err
	}
	defer release()
	d, err := worded(ctx, r, options, o.evidence(r.job), func(done, total int) { m.tell("fitting spectra:", done, total) })
	if err != nil {
		return nil, 0, err
	}
	cells := cellsOf(r.job)
	p, err := part.New(part.Ingredients{Share: o.share, Tool: d.Tool, Assessment: d.Assessment, Cells: cells, Logo: r.logo,
		Sentences: options.Overrides, Folder: options.OverridesName})
	if err != nil {
		return nil, 0, err
	}
	file := output{partName, func(w io.Writer) error { return part.Write(w, p) }}
	return d, cells, writeSets(ctx, []set{{folder: out, files: []output{file}}}, d.Words.Err, m)
}

// cellsOf counts the cells of a job.
func cellsOf(j *job.Job) int {
	names := map[string]bool{}
	for _, m := range j.Measurements {
		names[m.Cell] = true
	}
	return len(names)
}
