package main

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"ohmledger/fit/spectrum"
)

func TestExitCodes(t *testing.T) {
	for _, c := range []struct {
		err  error
		code int
	}{
		{nil, 0},
		{errFailed, 1},
		{fmt.Errorf("about it: %w", errFailed), 1},
		{refuse("no"), 2},
		{spectrum.Errors{{File: "job.yaml"}}, 2},
		{&spectrum.Error{File: "job.yaml"}, 2},
		{fmt.Errorf("about it: %w", spectrum.Errors{{File: "job.yaml"}}), 2},
		{errors.New("disk full"), 3},
		{crashed("oh"), 3},
	} {
		if got := exitCode(c.err); got != c.code {
			t.Errorf("%v gives %d, want %d", c.err, got, c.code)
		}
	}
}

// What a file says of itself never reaches a terminal as a command.
func TestLegible(t *testing.T) {
	for text, want := range map[string]string{
		"A-001 Ω, 5 °C\nnext": "A-001 Ω, 5 °C\nnext",
		"\x1b[31mred":         `\u001b[31mred`,
		"a\rb\tc\x00":         `a\u000db\u0009c\u0000`,
		"user\u202egnp.exe":   `user\u202egnp.exe`,
		"bad \xff byte":       "bad \ufffd byte",
		"no\u00a0break":       "no\u00a0break",
	} {
		if got := legible(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
}

func TestQuoted(t *testing.T) {
	for name, want := range map[string]string{"a/b-2.csv": "a/b-2.csv", "cells of May": `"cells of May"`, "": `""`, "x;rm": `"x;rm"`} {
		if got := quoted(name); got != want {
			t.Errorf("%q became %s, want %s", name, got, want)
		}
	}
}

// A file or a buffer is no terminal: no progress on it, and no colour.
func TestNoTerminal(t *testing.T) {
	var out, err bytes.Buffer
	c := newConsole(&out, &err)
	m := c.meter()
	m.tell("reading", 1, 1)
	m.clear()
	if err.Len() > 0 || c.tinted(red, "fail") != "fail" {
		t.Errorf("progress %q, tint %q", err.String(), c.tinted(red, "fail"))
	}
}

func TestColourIsOptional(t *testing.T) {
	c := &console{colour: true}
	if got := c.tinted(red, "fail"); got != "\x1b[31mfail\x1b[0m" {
		t.Errorf("%q", got)
	}
}

// The line of progress is overwritten, and gone in the end.
func TestProgressOnATerminal(t *testing.T) {
	var screen bytes.Buffer
	m := &meter{w: &screen}
	m.tell("fitting spectra:", 10, 12)
	m.tell("fitting spectra:", 11, 12) // too soon to be drawn
	m.tell("fitting spectra:", 12, 12)
	m.tell("writing files:", 3, 3)
	m.clear()
	if text := screen.String(); strings.Contains(text, "11 of 12") || !strings.Contains(text, "\rfitting spectra: 12 of 12") {
		t.Errorf("%q", text)
	}
	if got := shown(screen.String()); got != "" {
		t.Errorf("%q is left", got)
	}
}

// shown is what a terminal has on its line after some text.
func shown(text string) string {
	var line []rune
	at := 0
	for _, r := range text {
		if r == '\r' {
			at = 0
			continue
		}
		if at == len(line) {
			line = append(line, ' ')
		}
		line[at] = r
		at++
	}
	return strings.TrimRight(string(line), " ")
}
