package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"ohmledger/report"
)

type verifyCommand struct {
	Out     string `arg:"" name:"OUT" help:"Folder that holds a report, or one of its files alone."`
	Job     string `placeholder:"JOB" help:"Job folder from which the report was made (default: the folder above OUT, or OUT/job)."`
	Wording string `placeholder:"DIR" help:"Folder of the laboratory's own sentences, where report was given one."`
	Signed  bool   `help:"The PDF has been signed since: what stands behind it as it was written does not count as a change."`
	JSON    bool   `name:"json" help:"Print JSON in place of text."`
}

// errMismatch ends a verification that is done and found a mismatch. It is no fault and is not printed.
var errMismatch = fmt.Errorf("the report does not match: %w", errFailed)

// verification is what has been found so far.
type verification struct {
	exhibits   []*exhibit // the report's files that are there
	results    []byte     // results.json, or what the PDF has attached; nil where neither can be read
	claims     claims     // what they say of themselves
	folder     string     // of the job; empty where the inputs are not checked
	recomputed bool       // the results, from the inputs
	rounded    [2]string  // digests of results.json there and anew, where the two differ by rounding alone
	mismatches []mismatch
	more       int // mismatches that are not kept
	notes      []string
}

// mismatch is one place at which the report, its inputs and what follows from them do not agree.
type mismatch struct {
	File     string `json:"file"`
	Place    string `json:"place"` // empty: the file as a whole
	Message  string `json:"message"`
	Found    string `json:"found"`
	Expected string `json:"expected"` // by the measure
	by       measure
}

// measure is what a file is held against: what is wrong where they differ, and how the other side is introduced.
type measure struct{ message, gives string }

var (
	byInputs  = measure{"differs from what follows from the inputs", "the inputs give"}
	byResults = measure{"the " + resultsName + " attached to it differs from the one beside it", "that one has"}
	byDigest  = measure{"was changed since the report was made", "the report was made of"}
)

// claims are what results.json says of its making.
type claims struct {
	Schema string
	Tool   report.Tool
	Inputs []namedFile
	Cells  []struct{ Measurements []namedFile }
}

// namedFile is one with its digest.
type namedFile struct{ File, SHA256 string }

// gathered has the files of measurements among the inputs, each once.
func (c claims) gathered() claims {
	named := map[string]bool{}
	for _, i := range c.Inputs {
		named[i.File] = true
	}
	for _, cell := range c.Cells {
		for _, m := range cell.Measurements {
			if !named[m.File] {
				named[m.File] = true
				c.Inputs = append(c.Inputs, m)
			}
		}
	}
	c.Cells = nil
	return c
}

func (c *verifyCommand) Run(ctx context.Context, con *console) error {
	v := &verification{}
	alone, err := v.gather(c.Out)
	if err != nil {
		return err
	}
	if v.folder, err = c.jobFolder(alone); err != nil {
		return err
	}
	v.compareFiles(c.Signed)
	if !alone {
		v.tellRemains(c.Out)
	}
	if v.folder != "" && v.results != nil {
		if err := v.checkInputs(ctx, c.Wording, con.meter()); err != nil {
			return err
		}
	}
	if c.JSON {
		err = v.printJSON(con)
	} else {
		v.tell(con)
	}
	if err == nil && len(v.mismatches) > 0 {
		return errMismatch
	}
	return err
}

// jobFolder is the folder that was named, or the likely one; empty where there is none. A file by itself is held against
// inputs only where they are named.
func (c *verifyCommand) jobFolder(alone bool) (string, error) {
	if c.Job != "" {
		root, err := openFolder(c.Job, "job folder")
		if err != nil {
			return "", err
		}
		return c.Job, root.Close()
	}
	if alone {
		return "", nil
	}
	out, err := filepath.Abs(c.Out)
	if err != nil {
		return "", err
	}
	for _, folder := range []string{filepath.Dir(out), filepath.Join(c.Out, jobBelow)} {
		if info, err := os.Stat(filepath.Join(folder, "job.yaml")); err == nil && info.Mode().IsRegular() {
			return shorter(folder), nil
		}
	}
	return "", nil
}

// shorter is a path as seen from the folder in which the user stands, where that is shorter.
func shorter(name string) string {
	here, err := os.Getwd()
	if err != nil {
		return name
	}
	if short, err := filepath.Rel(here, name); err == nil && len(short) < len(name) {
		return short
	}
	return name
}

// object notes a mismatch.
func (v *verification) object(file, format string, arguments ...any) {
	v.keep(mismatch{File: file, Message: fmt.Sprintf(format, arguments...)})
}

// mostMismatches are kept.
const mostMismatches = 2000

func (v *verification) keep(m mismatch) {
	if len(v.mismatches) == mostMismatches {
		v.more++
		return
	}
	v.mismatches = append(v.mismatches, m)
}

// objectAll notes what differs between a file and its measure.
func (v *verification) objectAll(file string, d *report.Differences, by measure) {
	for _, one := range d.List {
		v.keep(mismatch{file, one.Place, by.message, one.Found, one.Expected, by})
	}
	v.more += d.More
	if d.Rounding > 0 {
		v.notef("%s: rounding alone moves %s, by %.1g of the value at most", file, count(d.Rounding, "number", "numbers"), d.Largest)
	}
}

func (v *verification) notef(format string, arguments ...any) {
	v.notes = append(v.notes, fmt.Sprintf(format, arguments...))
}

// exhibit is a file of the report by its name; nothing where it is not there.
func (v *verification) exhibit(name string) *exhibit {
	for _, e := range v.exhibits {
		if e.name == name {
			return e
		}
	}
	return nil
}

// errUnsuited says that a file is not one to verify.
var errUnsuited = errors.New("no report of ohmledger")
