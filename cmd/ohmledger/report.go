package main

import (
	"context"
	"io/fs"
	"path/filepath"

	"ohmledger/report"
	"ohmledger/report/pdf"
)

type reportCommand struct {
	Job         string   `arg:"" name:"JOB" help:"Job folder, which holds job.yaml."`
	Out         string   `short:"o" placeholder:"OUT" help:"Folder for report.pdf, report.xlsx and results.json (default JOB/report)."`
	Cells       string   `enum:"all,failed,none" default:"all" placeholder:"all|failed|none" help:"Cells with a section of their own in the PDF (default all)."`
	Figures     string   `placeholder:"DIR" help:"Folder for every figure as SVG and PNG."`
	Wording     string   `placeholder:"DIR" help:"Folder of the laboratory's own sentences, in place of the one that job.yaml names."`
	Part        jobShare `placeholder:"I/N" help:"Judge the I-th of N shares of the cells only, for merge to put together; OUT is then the part's folder (default JOB/parts/I-of-N)."`
	VerdictExit bool     `default:"true" help:"End with exit code 1 where a cell failed; --verdict-exit=false ends with 0 then."`
}

// allCells is what --cells says where it is not given.
const allCells = "all"

// selections is the table of what --cells may say.
var selections = map[string]pdf.Selection{allCells: pdf.AllCells, "failed": pdf.FailedCells, "none": pdf.NoCells}

func (c *reportCommand) Run(ctx context.Context, con *console) error {
	folder, err := openFolder(c.Job, "job folder")
	if err != nil {
		return err
	}
	defer folder.Close()
	if c.Part.Of > 0 {
		return c.judgePart(ctx, con, folder.FS())
	}
	if c.Out == "" {
		c.Out = filepath.Join(c.Job, "report")
	}
	var room scratch
	defer room.clear()
	o := order{cells: selections[c.Cells], figures: c.Figures, wording: c.Wording, room: &room}
	d, err := o.report(ctx, con, folder.FS(), c.Job, c.Out)
	if err != nil {
		return err
	}
	if err := con.tellFindings(d); err != nil {
		return err
	}
	con.tellUnnamed(folder.FS(), d)
	con.tellPlaces(c.Out, c.Figures)
	return verdictError(d, c.VerdictExit)
}

// verdictError is errFailed where a cell failed its limits, if only conditionally, and the caller wants to know by the
// exit code.
func verdictError(d *report.Document, wanted bool) error {
	if counts := d.Assessment.Counts; wanted && counts.Fail+counts.ConditionalFail > 0 {
		return errFailed
	}
	return nil
}

// report reads the job in a folder, judges it and writes its report into out, complete or not at all.
func (o order) report(ctx context.Context, con *console, files fs.FS, folder, out string) (*report.Document, error) {
	m := con.meter()
	defer m.clear()
	r, d, err := o.judged(ctx, files, m)
	if err != nil {
		return nil, err
	}
	sets := []set{{folder: out, files: reportFiles(d, r, o.cells)}}
	if o.figures != "" {
		sets = append(sets, set{folder: o.figures, files: figureFiles(d)})
	}
	for _, s := range sets {
		if err := apart(s.folder, o.inputFolders(r.job, folder)); err != nil {
			return nil, err
		}
	}
	return d, writeSets(ctx, sets, d.Words.Err, m)
}
