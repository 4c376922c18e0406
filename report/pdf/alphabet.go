package pdf

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"
)

// substitute stands for a character that cannot be shown. U+FFFD is Unicode's own sign for it.
const substitute = '\uFFFD'

// alphabet makes text showable: what the typeface lacks becomes the substitute, and is remembered so
// that the report can say what is missing.
type alphabet struct {
	fonts    []*sfnt.Font
	buffer   sfnt.Buffer
	covered  map[rune]bool
	replaced map[rune]bool
}

func newAlphabet() *alphabet {
	return &alphabet{fonts: parseFaces(), covered: map[rune]bool{}, replaced: map[rune]bool{}}
}

// legible gives text in characters that the typeface has, accents composed, line ends as \n. Characters
// that show nothing by themselves go; any other that cannot be shown becomes the substitute.
func (a *alphabet) legible(text string) string {
	if plain(text) {
		return text
	}
	text = lineEnds.Replace(strings.ToValidUTF8(text, string(substitute)))
	return strings.Map(a.shown, norm.NFC.String(text))
}

// lineEnds of Unicode Standard Annex 14, and the tabulator, which has no width of its own.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\v", "\n", "\f", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n", "\t", " ")

// plain reports whether a text is printable ASCII throughout, as nearly all are.
func plain(text string) bool {
	for i := range len(text) {
		if text[i] < ' ' || text[i] > '~' {
			return false
		}
	}
	return true
}

func (a *alphabet) shown(r rune) rune {
	switch {
	case r == '\n', r == guard, r == softHyphen:
		return r
	case invisible(r):
		return -1
	case a.has(r):
		return r
	}
	a.replaced[r] = true
	return substitute
}

// invisible characters only steer joining, hyphenation or the choice of a glyph's variant. Those that
// reorder text are not among them: a reader must see that they were there.
func invisible(r rune) bool {
	switch r {
	case '\u200B', '\u200C', '\u200D', '\uFEFF':
		return true
	}
	return unicode.Is(unicode.Variation_Selector, r)
}

// has reports whether every face can show r. Beyond U+FFFF the writer of the document cannot count
// (fpdf 0.12.0 panics); joining scripts it would not join.
func (a *alphabet) has(r rune) bool {
	known, ok := a.covered[r]
	if !ok {
		known = r <= 0xFFFF && !unicode.In(r, unicode.C, unicode.Arabic, unicode.Nko) && a.inEveryFace(r)
		a.covered[r] = known
	}
	return known
}

func (a *alphabet) inEveryFace(r rune) bool {
	for _, f := range a.fonts {
		if i, err := f.GlyphIndex(&a.buffer, r); err != nil || i == 0 {
			return false
		}
	}
	return true
}

// missing lists the characters that were replaced, by their code points.
func (a *alphabet) missing() []string {
	var names []string
	for _, r := range slices.Sorted(maps.Keys(a.replaced)) {
		names = append(names, fmt.Sprintf("U+%04X", r))
	}
	return names
}
