package pdf

import (
	"strings"
	"unicode/utf8"
)

// level is where a piece of text stands against the base line.
type level int

const (
	onLine level = iota
	lowered
	raised
	loweredInRaised
)

// marks open a group of the wording's inline marks: _{ct} is lowered, ^{2} is raised, and
// ^_{f} is an index of what was raised.
var marks = []struct {
	opening string
	level   level
}{{"_{", lowered}, {"^{", raised}, {"^_{", loweredInRaised}}

// script is how the text of a level is set, in sizes of its line: common practice of book typography.
var script = [...]struct{ scale, drop float64 }{
	onLine: {1, 0}, lowered: {0.72, 0.14}, raised: {0.72, -0.34}, loweredInRaised: {0.58, -0.24},
}

// piece is what is never broken over two lines: a character, or a lowered or raised group.
type piece struct {
	source string // with its mark
	text   string // what shows
	level  level
}

// nextPiece is the first piece of a text that is not empty.
func nextPiece(text string) piece {
	for _, m := range marks {
		if group, marked := strings.CutPrefix(text, m.opening); marked {
			if inner, _, closed := strings.Cut(group, "}"); closed && !strings.ContainsAny(inner, " \n") {
				return piece{text[:len(m.opening)+len(inner)+1], inner, m.level}
			}
		}
	}
	first, size := utf8.DecodeRuneInString(text)
	if first == guard || first == softHyphen {
		return piece{source: text[:size]}
	}
	return piece{text[:size], text[:size], onLine}
}

// runs are the parts of a line that are set without a change of level.
func runs(text string) []piece {
	var parts []piece
	begin := 0
	for at := 0; at < len(text); {
		p := nextPiece(text[at:])
		if p.level != onLine {
			parts = append(appendRun(parts, text[begin:at]), p)
			begin = at + len(p.source)
		}
		at += len(p.source)
	}
	return appendRun(parts, text[begin:])
}

func appendRun(parts []piece, text string) []piece {
	if text == "" {
		return parts
	}
	return append(parts, piece{text, unmarked(text), onLine})
}

const (
	guard      = '\u2060' // shows nothing and keeps apart what would read as a mark
	softHyphen = '\u00AD' // shows nothing but at the end of a line, where it is a hyphen; the wording's long words have it
)

var unseen = strings.NewReplacer(string(guard), "", string(softHyphen), "")

// unmarked leaves out what shows nothing.
func unmarked(text string) string { return unseen.Replace(text) }

// literally makes text from outside the wording legible and keeps it from being read as marks: first
// the one, as characters that show nothing may part what would be a mark without them.
func (a *alphabet) literally(text string) string { return literal.Replace(a.legible(text)) }

var literal = strings.NewReplacer("_{", "_"+string(guard)+"{", "^{", "^"+string(guard)+"{", string(softHyphen), "")
