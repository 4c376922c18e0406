package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"ohmledger/health"
	"ohmledger/report/figure"
	"ohmledger/report/pdf"
)

// pair compares two spectra of one cell.
func (c *check) pair(ctx context.Context) error {
	draw, err := c.drawing()
	if err != nil {
		return err
	}
	a, faultA := c.read(c.Inputs[0])
	b, faultB := c.read(c.Inputs[1])
	if err := together(faultA, faultB); err != nil {
		return err
	}
	k := health.Compare(health.Evidence{Phrase: c.words.Phrase}, a, b)
	if draw != nil {
		if err := c.drawInto(ctx, figure.Compare(c.words, &k), draw); err != nil {
			return err
		}
	}
	if c.JSON {
		err = c.print(c.document(&k, &k.A, &k.B), indented)
	} else {
		c.tellPair(&k)
	}
	return worthError(err, &k.A, &k.B)
}

// together are the faults of both spectra, of files as such and in their lines.
func together(a, b error) error {
	switch {
	case a == nil:
		return b
	case b == nil:
		return a
	}
	if exitCode(a) != exitRefused || exitCode(b) != exitRefused {
		return fmt.Errorf("%w\n%w", a, b)
	}
	return refuse("%v\n%v", a, b)
}

// drawing is a form in which a figure is written by itself.
type drawing struct {
	ending string
	write  func(w io.Writer, f figure.Figure) error
}

// drawings is the table of them.
var drawings = []drawing{{".svg", figure.WriteSVG}, {".png", figure.WritePNG}, {".pdf", pdf.WriteFigure}}

// drawing is the form that --figure asks for by its ending; nil where none is wanted.
func (c *checkCommand) drawing() (*drawing, error) {
	if c.Figure == "" {
		return nil, nil
	}
	ending := strings.ToLower(filepath.Ext(c.Figure))
	i := slices.IndexFunc(drawings, func(d drawing) bool { return d.ending == ending })
	if i < 0 {
		return nil, refuse("--figure %s: the ending says how it is drawn; allowed: %s", quoted(c.Figure),
			strings.Join(each(drawings, func(d drawing) string { return d.ending }), ", "))
	}
	return &drawings[i], c.apartFromInputs()
}

// apartFromInputs refuses a figure in the place of what it is drawn from.
func (c *checkCommand) apartFromInputs() error {
	for _, name := range c.Inputs {
		if sameFile(name, c.Figure) {
			return refuse("--figure %s is one of the spectra; name another file", quoted(c.Figure))
		}
	}
	return mayBeFolder(filepath.Dir(c.Figure))
}

// drawInto writes a figure, complete or not at all.
func (c *check) drawInto(ctx context.Context, f figure.Figure, as *drawing) error {
	files := []output{{filepath.Base(c.Figure), func(w io.Writer) error { return as.write(w, f) }}}
	return writeSets(ctx, []set{{folder: filepath.Dir(c.Figure), files: files}}, c.words.Err, c.con.meter())
}

// tellPair says whether each is worth keeping, what they differ in, the numbers, and what was found in each.
func (c *check) tellPair(k *health.Comparison) {
	both := [...]*health.Measurement{&k.A, &k.B}
	for i, m := range both {
		c.con.say("%s  %s: %s", letters[i], c.verdict(worthOf(m)), legible(m.Row.File))
	}
	for _, f := range k.Differences {
		c.con.say("")
		c.tell("", f.Message)
		c.tell("", c.words.Say("check.do", f.Advice))
	}
	c.con.say("")
	c.tellNumbers(k)
	for i, m := range both {
		if len(m.Quality.Findings) > 0 {
			c.con.say("\n%s", c.words.Say("check.pair.found", letters[i]))
		}
		for _, f := range gravestFirst(m.Quality.Findings) {
			c.tellFinding(f)
		}
	}
	c.con.say("")
	c.tell("", c.words.Say("check.caution", nil))
	if c.Figure != "" {
		c.con.say("%s", c.words.Say("check.figure", legible(c.Figure)))
	}
}

// letters are what the two are called.
var letters = [...]string{"A", "B"}
