package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"ohmledger/report"
	"ohmledger/templates"
)

type demoCommand struct {
	Out         string `short:"o" default:"ohmledger-demo" placeholder:"OUT" help:"Folder for the report, with the job in its folder job (default ${default})."`
	VerdictExit bool   `default:"true" help:"As for report."`
}

// jobBelow is the folder in a demonstration's report that holds its job.
const jobBelow = "job"

func (c *demoCommand) Run(ctx context.Context, con *console) error {
	d, err := c.report(ctx, con)
	if err != nil {
		return err
	}
	folder := filepath.Join(c.Out, jobBelow)
	if err := con.tellFindings(d); err != nil {
		return err
	}
	con.tellPlaces(c.Out, "")
	con.say("The job behind it is invented. Change it in %s and run: ohmledger report %s", legible(folder), quoted(folder))
	return verdictError(d, c.VerdictExit)
}

// report judges the built-in job and writes its report, and the job where it is not there yet.
func (c *demoCommand) report(ctx context.Context, con *console) (*report.Document, error) {
	if err := apart(c.Out, nil); err != nil {
		return nil, err
	}
	m := con.meter()
	defer m.clear()
	demonstration, err := fs.Sub(templates.FS(), "demo")
	if err != nil {
		return nil, err
	}
	missing, err := c.missing(demonstration)
	if err != nil {
		return nil, err
	}
	r, d, err := order{}.judged(ctx, demonstration, m)
	if err != nil {
		return nil, err
	}
	return d, writeSets(ctx, []set{{folder: c.Out, files: append(reportFiles(d, r, ""), missing...)}}, d.Words.Err, m)
}

// missing are the job's files that are not in the folder. One that was changed there is refused, never overwritten.
func (c *demoCommand) missing(demonstration fs.FS) (list []output, err error) {
	files, err := filesOf(demonstration)
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		name := filepath.Join(c.Out, jobBelow, filepath.FromSlash(f.name))
		there, err := os.ReadFile(name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			list = append(list, output{path.Join(jobBelow, f.name), func(w io.Writer) error {
				_, err := w.Write(f.data)
				return err
			}})
		case err != nil:
			return nil, err
		case !bytes.Equal(there, f.data):
			return nil, refuse("%s was changed and is not overwritten; report it with ohmledger report %s, or name another folder with -o",
				quoted(name), quoted(filepath.Join(c.Out, jobBelow)))
		}
	}
	return list, nil
}
