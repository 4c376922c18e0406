package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"ohmledger/health"
)

// watch checks each spectrum as it lands in a folder, until the context ends.
func (c *check) watch(ctx context.Context) error {
	if err := mayBeWatched(c.Watch); err != nil {
		return err
	}
	if _, err := columnsOf(c.Columns); err != nil {
		return err
	}
	c.watcher().run(ctx)
	return nil
}

// mayBeWatched refuses what is no folder, and a job whose spectra lie a folder deeper.
func mayBeWatched(name string) error {
	inner := filepath.Join(name, "spectra")
	switch info, err := os.Stat(name); {
	case os.IsNotExist(err):
		return refuse("there is no folder %s to watch", quoted(name))
	case err != nil:
		return cannotRead(name, err)
	case !info.IsDir():
		return refuse("%s is a file; a folder is watched, a file is checked: ohmledger check %s", quoted(name), quoted(name))
	case isFolder(inner) && jobAbove(filepath.Join(name, jobFile)) == name:
		return refuse("%s is a job, and its spectra lie in %s: ohmledger check --watch %s", quoted(name), quoted(inner), quoted(inner))
	}
	return nil
}

// watcher tells of each file that lands, on one line.
func (c *check) watcher() *watch {
	return &watch{folder: c.Watch, pace: atTheBench, events: eventsOf, check: c.landed, tell: c.tellUnread,
		ready: func(there int) {
			if c.con.terminal {
				fmt.Fprintln(c.con.err, legible(c.words.Say("check.watch", map[string]any{"Folder": c.Watch, "There": there})))
			}
		},
		lost: func(err error) { c.con.complain(cannotRead(c.Watch, err)) },
	}
}

// landed checks a file. Its error says why it cannot be read.
func (c *check) landed(name string) error {
	input, err := c.read(name)
	if err != nil {
		if data, unreadable := readWhole(name); unreadable == nil && len(bytes.TrimSpace(data)) > 0 && isSomethingElse(name, data) {
			return errNoSpectrum
		}
		return err
	}
	m := health.Check(health.Evidence{Phrase: c.words.Phrase}, input)
	if c.JSON {
		c.printLine(c.document(nil, &m))
	} else {
		c.tellLine(worthOf(&m), name, c.brief(&m))
		c.cautionOnce(&m)
	}
	return nil
}

// cautionOnce says how not to be hurt when the first file lands after which there is something to do at the cell.
func (c *check) cautionOnce(m *health.Measurement) {
	if !c.cautioned && m.Quality.Gravest() >= health.Warning {
		c.cautioned = true
		c.con.say("%s", c.words.Say("check.caution", nil))
	}
}

// brief is the gravest finding in a line, or what the spectrum is where there is nothing to warn of.
func (c *check) brief(m *health.Measurement) string {
	if m.Quality.Gravest() < health.Warning {
		return c.words.Phrase("check.watch.sound", c.facts(m))
	}
	sorted := gravestFirst(m.Quality.Findings)
	f, more := sorted[0], -1
	for _, other := range sorted {
		if other.Severity >= health.Warning {
			more++
		}
	}
	text := c.part(f, "seen") + " " + c.part(f, "size") + " → " + f.Advice
	if more > 0 {
		text += " " + c.words.Say("check.more", more)
	}
	return text
}

// tellUnread says of a file that looks like a spectrum that it cannot be read, on one line.
func (c *check) tellUnread(name string, err error) {
	if c.JSON {
		c.printLine(c.refusedDocument(name, err))
	} else {
		faults := faultsOf(name, err)
		c.tellLine(unread, name, c.words.Say("check.watch.unread", map[string]any{
			"Message": faults[0].Message, "More": len(faults) - 1, "File": quoted(name), "Remedy": firstRemedy(faults),
		}))
	}
}

// firstRemedy is the first line that says what makes a file readable; empty where none does.
func firstRemedy(faults []checkFault) string {
	for _, f := range faults {
		if f.Remedy != nil {
			line, _, _ := strings.Cut(*f.Remedy, "\n")
			return strings.TrimSpace(line)
		}
	}
	return ""
}

// printLine writes a document on a line.
func (c *check) printLine(d *checkDocument) {
	if err := c.print(d, ""); err != nil {
		c.con.complain(err)
	}
}

// tellLine is the line of a file: its verdict, its name, and what there is to say.
func (c *check) tellLine(w worth, name, text string) {
	c.con.say("%s: %s: %s", c.verdict(w), legible(filepath.Base(name)), legible(text))
}
