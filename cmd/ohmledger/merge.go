package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/part"
	"ohmledger/report/pdf"
	"ohmledger/report/xlsx"
	"ohmledger/templates"
)

type mergeCommand struct {
	Out         string   `arg:"" name:"OUT" help:"Folder for report.pdf, report.xlsx and results.json."`
	Parts       []string `arg:"" name:"PART" help:"Folders that report --part wrote, or the files in them, in any order."`
	Cells       string   `enum:"all,failed,none" default:"all" placeholder:"all|failed|none" help:"Cells with a section of their own in the PDF (default all)."`
	Figures     string   `placeholder:"DIR" help:"Folder for every figure as SVG and PNG."`
	VerdictExit bool     `default:"true" help:"End with exit code 1 where a cell failed; --verdict-exit=false ends with 0 then."`
}

func (c *mergeCommand) Run(ctx context.Context, con *console) error {
	var room scratch
	defer room.clear()
	d, err := c.merge(ctx, con, &room)
	if err != nil {
		return err
	}
	if err := con.tellFindings(d); err != nil {
		return err
	}
	con.tellPlaces(c.Out, c.Figures)
	return verdictError(d, c.VerdictExit)
}

// merge reads the parts and writes the report of all, complete or not at all.
func (c *mergeCommand) merge(ctx context.Context, con *console, room *scratch) (*report.Document, error) {
	m := con.meter()
	defer m.clear()
	d, logo, err := c.read(ctx, room, m)
	if err != nil {
		return nil, err
	}
	sets := []set{{folder: c.Out, files: reportFiles(d, &record{logo: logo}, selections[c.Cells])}}
	if c.Figures != "" {
		sets = append(sets, set{folder: c.Figures, files: figureFiles(d)})
	}
	for _, s := range sets {
		if err := apart(s.folder, partFolders(c.Parts)); err != nil {
			return nil, err
		}
	}
	return d, writeSets(ctx, sets, d.Words.Err, m)
}

// read makes the document of all parts, which needs the room as long as it is used.
func (c *mergeCommand) read(ctx context.Context, room *scratch, m *meter) (*report.Document, []byte, error) {
	parts := make([]*part.Part, len(c.Parts))
	spectra, thinned := 0, 0 // thinned: parts whose curves are dropped
	given := storageLimit()  // which must not fall to what the first parts need
	for i, name := range c.Parts {
		p, err := readPart(name)
		if err = errors.Join(err, ctx.Err()); err != nil {
			return nil, nil, inWords(err)
		}
		parts[i] = p
		spectra += len(p.Spectra)
		if !c.draws(spectra, p.Cells) {
			economise(spectra, given)
			for ; thinned <= i; thinned++ {
				parts[thinned].Judged = health.Sparse(parts[thinned].Judged, room.store())
			}
		}
		m.tell("reading parts:", i+1, len(c.Parts))
	}
	d, logo, err := part.Whole(parts, templates.FS())
	return d, logo, inWords(err)
}

// draws reports whether the curves of so many spectra are needed, as evidence of an order has it.
func (c *mergeCommand) draws(spectra, cells int) bool {
	return selections[c.Cells] != pdf.NoCells || c.Figures != "" || xlsx.ListsPoints(spectra) || cells == 1
}

// readPart reads a part, named by its folder or its file.
func readPart(name string) (*part.Part, error) {
	file := name
	if isFolder(name) {
		file = filepath.Join(name, partName)
	}
	if info, err := os.Stat(file); err == nil && !info.Mode().IsRegular() {
		return nil, refuse("the part %s is no file", quoted(file))
	}
	f, err := os.Open(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, refuse("there is no part %s", quoted(file))
	case err != nil:
		return nil, refuse("the part cannot be read: %v", err)
	}
	defer f.Close()
	return part.Read(f, quoted(name), tool())
}

// inWords makes a refusal of what parts lack.
func inWords(err error) error {
	if fault := new(part.Fault); errors.As(err, &fault) {
		return refuse("%s", fault.Message)
	}
	return err
}

// partFolders are the folders that parts lie in.
func partFolders(names []string) (folders []string) {
	for _, name := range names {
		if !isFolder(name) {
			name = filepath.Dir(name)
		}
		folders = append(folders, name)
	}
	return folders
}
