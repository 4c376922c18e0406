package main

import (
	"context"
	"os"
	"path/filepath"

	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/templates"
)

type checkCommand struct {
	Inputs  []string          `arg:"" optional:"" name:"JOB_OR_SPECTRUM" help:"A job folder, a spectrum file, or two spectra of one cell to compare."`
	Watch   string            `placeholder:"FOLDER" help:"Check each spectrum file as it lands in FOLDER, until interrupted."`
	JSON    bool              `name:"json" help:"Print JSON in place of text; with --watch one line a file."`
	Figure  string            `placeholder:"F.svg|png|pdf" help:"Draw the two spectra that are compared into a file."`
	Columns map[string]string `mapsep:"none" placeholder:"KEY=TEXT" help:"What job.yaml says under columns, for spectra outside of a job: frequency, real, imaginary, magnitude, phase, unit, imaginary_sign. May be repeated."`
}

// check is one run of the command.
type check struct {
	*checkCommand
	con       *console
	words     *report.Words
	cautioned bool // a watch has said how not to be hurt
}

// Run carries out the form of the command that its arguments ask for.
func (c *checkCommand) Run(ctx context.Context, con *console) error {
	form, err := c.form()
	if err != nil {
		return err
	}
	words, err := report.ReadWords(templates.FS(), "en", nil, "")
	if err != nil {
		return err
	}
	return form(&check{checkCommand: c, con: con, words: words}, ctx)
}

// checkForm is one of the things that the command does.
type checkForm func(c *check, ctx context.Context) error

// form chooses by the arguments, and refuses what does not go together.
func (c *checkCommand) form() (checkForm, error) {
	if c.Figure != "" && len(c.Inputs) != 2 {
		return nil, refuse("--figure draws two spectra that are compared; name two files")
	}
	switch len(c.Inputs) {
	case 0:
		return c.watchForm()
	case 1:
		return c.singleForm()
	case 2:
		return c.pairForm()
	}
	return nil, refuse("check takes one spectrum or job, or two spectra of one cell to compare; %d were named. "+
		"More of them are checked together as a job, see ohmledger new", len(c.Inputs))
}

func (c *checkCommand) watchForm() (checkForm, error) {
	if c.Watch == "" {
		return nil, refuse("name what to check: a job folder, a spectrum, two spectra to compare, or --watch FOLDER")
	}
	return (*check).watch, nil
}

func (c *checkCommand) singleForm() (checkForm, error) {
	name := c.Inputs[0]
	info, err := os.Stat(name)
	switch {
	case c.Watch != "":
		return nil, refuse("--watch checks what lands in its folder; leave out %s", quoted(name))
	case err != nil || !info.IsDir():
		return (*check).spectrum, isSpectrum(name)
	case len(c.Columns) > 0:
		return nil, refuse("--columns is for spectra outside of a job; for %s its job.yaml says it, under columns", quoted(name))
	}
	return (*check).job, nil
}

func (c *checkCommand) pairForm() (checkForm, error) {
	if c.Watch != "" {
		return nil, refuse("--watch checks what lands in its folder; leave out %s and %s", quoted(c.Inputs[0]), quoted(c.Inputs[1]))
	}
	for _, name := range c.Inputs {
		if err := isSpectrum(name); err != nil {
			return nil, err
		}
	}
	if sameFile(c.Inputs[0], c.Inputs[1]) {
		return nil, refuse("%s and %s are the same file", quoted(c.Inputs[0]), quoted(c.Inputs[1]))
	}
	return (*check).pair, nil
}

// isSpectrum refuses what can be no spectrum by its name.
func isSpectrum(name string) error {
	info, err := os.Stat(name)
	switch base := filepath.Base(name); {
	case os.IsNotExist(err):
		return refuse("there is no file or folder %s", quoted(name))
	case err != nil:
		return refuse("%s cannot be read: %v", quoted(name), err)
	case info.IsDir():
		return refuse("%s is a folder; two spectra are compared, a job is checked alone", quoted(name))
	case base == jobFile || base == "measurements.csv" || base == "measurements.xlsx":
		return refuse("%s belongs to a job; check its folder: ohmledger check %s", quoted(name), quoted(filepath.Dir(name)))
	}
	return nil
}

// jobFile makes a folder a job.
const jobFile = "job.yaml"

// spectrum checks one spectrum by itself.
func (c *check) spectrum(context.Context) error {
	input, err := c.read(c.Inputs[0])
	if err != nil {
		return err
	}
	m := health.Check(health.Evidence{Phrase: c.words.Phrase}, input)
	if c.JSON {
		err = c.print(c.document(nil, &m), indented)
	} else {
		c.tellSpectrum(&m)
	}
	return worthError(err, &m)
}

// worthError is errFailed where a measurement does not count and nothing else went wrong.
func worthError(err error, list ...*health.Measurement) error {
	for _, m := range list {
		if err == nil && !m.Quality.Accepted {
			err = errFailed
		}
	}
	return err
}
