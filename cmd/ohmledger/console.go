package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"unicode"

	"golang.org/x/term"
)

// console is where the program speaks: what was found goes to out, faults and progress to err.
type console struct {
	out, err io.Writer
	colour   bool // on out
	terminal bool // err is one
}

// printer passes on what is printed and keeps the first error, which nobody looks at line by line.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) Write(text []byte) (int, error) {
	n, err := p.w.Write(text)
	if p.err == nil {
		p.err = err
	}
	return n, err
}

func newConsole(out, err io.Writer) *console {
	plain := os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" // https://no-color.org
	return &console{out: &printer{w: out}, err: err, colour: isTerminal(out) && !plain, terminal: isTerminal(err)}
}

func isTerminal(w io.Writer) bool {
	file, ok := w.(*os.File)
	return ok && term.IsTerminal(int(file.Fd()))
}

// say prints a line of the result.
func (c *console) say(format string, arguments ...any) {
	fmt.Fprintf(c.out, format+"\n", arguments...)
}

// lost is an error where not all of the result could be printed.
func (c *console) lost() error {
	if p, ok := c.out.(*printer); ok && p.err != nil {
		return fmt.Errorf("what was to be said cannot be printed: %w", p.err)
	}
	return nil
}

// complain prints an error.
func (c *console) complain(err error) {
	fmt.Fprintf(c.err, "ohmledger: %s\n", legible(err.Error()))
}

// tint is an SGR colour of ISO/IEC 6429.
type tint int

const (
	red    tint = 31
	green  tint = 32
	yellow tint = 33
)

func (c *console) tinted(t tint, text string) string {
	if !c.colour {
		return text
	}
	return fmt.Sprintf("\x1b[%dm%s\x1b[0m", t, text)
}

// legible shows what a terminal would obey, or what would turn the direction of a line, as escapes. Line ends stay.
func legible(text string) string {
	var b strings.Builder
	for _, r := range text {
		if r == '\n' || unicode.IsGraphic(r) && !unicode.Is(unicode.Bidi_Control, r) {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}
