package pdf

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// wrap breaks text into lines no wider than width, in the unit of advance: at \n, at spaces, behind
// hyphens, slashes and underscores, at soft hyphens, and where a word alone is too wide, inside it. Nothing is
// lost but the spaces at the breaks, and nothing added but what a soft hyphen shows there. There is at least one line, and each holds at least one piece.
func wrap(text string, width float64, advance func(piece) float64) []string {
	var lines []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		l := line{limit: width + roundingMargin, advance: advance}
		lines = append(lines, l.breakUp(paragraph)...)
	}
	return lines
}

// roundingMargin forgives the last bits of a width that was computed from the text itself, in mm.
const roundingMargin = 1e-6

// line is the line being filled: all of it, and as much of it as ends where it may be broken.
type line struct {
	limit       float64
	advance     func(piece) float64
	text        string
	width       float64
	safe        int     // bytes up to the last place where it may be broken
	widthOfRest float64 // of what follows that place
}

func (l *line) breakUp(paragraph string) []string {
	var lines []string
	for rest := paragraph; rest != ""; {
		p := nextPiece(rest)
		rest = rest[len(p.source):]
		lines = append(lines, l.take(p, rest)...)
	}
	return append(lines, strings.TrimRight(l.text, " "))
}

// take adds a piece and returns what no longer fits beside it.
func (l *line) take(p piece, rest string) (full []string) {
	w := l.advance(p)
	for l.text != "" && p.source != " " && l.width+w > l.limit {
		full = append(full, l.cut())
	}
	l.text += p.source
	l.width += w
	l.widthOfRest += w
	if mayBreak(l.text, rest) && l.hyphenFits() {
		l.safe, l.widthOfRest = len(l.text), 0
	}
	return full
}

// cut takes off what may end the line, all of it where nothing may.
func (l *line) cut() string {
	at, shown := l.safe, hyphen
	if at == 0 {
		at, shown, l.widthOfRest = len(l.text), "", 0
	}
	done := l.text[:at]
	l.text, l.width, l.safe = l.text[at:], l.widthOfRest, 0
	if cut, soft := strings.CutSuffix(done, string(softHyphen)); soft {
		return cut + shown
	}
	return strings.TrimRight(done, " ")
}

const hyphen = "-"

// hyphenFits reports whether what a soft hyphen shows at the end of the line has room there.
func (l *line) hyphenFits() bool {
	return !strings.HasSuffix(l.text, string(softHyphen)) || l.width+l.advance(piece{text: hyphen}) <= l.limit
}

// mayBreak reports whether a line may end between before and after.
func mayBreak(before, after string) bool {
	last, _ := utf8.DecodeLastRuneInString(before)
	next, _ := utf8.DecodeRuneInString(after)
	switch {
	case last == ' ':
		return next != ' '
	case last == softHyphen:
		return unicode.IsLetter(next)
	case last == '_' && next == '{', last == '/' && endsInUnit(before[:len(before)-1]):
		return false
	case strings.ContainsRune("-–/_\\", last):
		return unicode.IsLetter(next) || unicode.IsDigit(next) && !endsInNumber(before[:len(before)-utf8.RuneLen(last)])
	}
	return false
}

// endsInUnit keeps units and ratios of symbols such as kJ/mol and mΩ/s whole.
func endsInUnit(text string) bool {
	const longest = 2 // letters of a unit with its prefix
	letters := 0
	for letters <= longest {
		last, size := utf8.DecodeLastRuneInString(text)
		if !unicode.IsLetter(last) {
			break
		}
		text, letters = text[:len(text)-size], letters+1
	}
	return letters <= longest
}

// endsInNumber keeps dates and ranges such as 2026-03-14 and 10–20 whole.
func endsInNumber(text string) bool {
	last, _ := utf8.DecodeLastRuneInString(text)
	return unicode.IsDigit(last)
}
