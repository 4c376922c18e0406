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
	if first == guard {
		return piece{source: text[:size]}
	}
	return piece{text[:size], text[:size], onLine}
}

// pieces of a text that is not broken further.
func pieces(text string) []piece {
	var ps []piece
	for text != "" {
		p := nextPiece(text)
		ps, text = append(ps, p), text[len(p.source):]
	}
	return ps
}

// runs joins neighbouring pieces of one level.
func runs(text string) []piece {
	if !strings.ContainsAny(text, "{"+string(guard)) {
		return []piece{{text, text, onLine}}
	}
	var rs []piece
	for _, p := range pieces(text) {
		if n := len(rs); n > 0 && rs[n-1].level == p.level {
			rs[n-1].text += p.text
			rs[n-1].source += p.source
			continue
		}
		rs = append(rs, p)
	}
	return rs
}

// guard shows nothing and keeps apart what would read as a mark.
const guard = '\u2060'

// literally protects text that comes from outside the wording from being read as marks.
func literally(text string) string { return literal.Replace(text) }

var literal = strings.NewReplacer("_{", "_"+string(guard)+"{", "^{", "^"+string(guard)+"{")
