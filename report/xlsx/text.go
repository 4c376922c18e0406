package xlsx

import (
	"strings"
	"unicode/utf8"
)

// text is a text from outside as a workbook can hold it: characters that XML 1.0 (section 2.2) forbids,
// other control characters and those that turn the direction of writing become the replacement
// character, so that nothing vanishes unseen and nothing reads in another order than it stands.
// It is always stored as text, never as a formula, whatever it begins with.
func text(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return r
		case r == '\r':
			return -1
		case r < 0x20, r >= 0x7f && r <= 0x9f, r == 0xfffe, r == 0xffff,
			r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0x200e, r == 0x200f:
			return utf8.RuneError
		}
		return r
	}, s)
}

// quoted is a text inside a formula.
func quoted(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// headerText is a text in a page's header or footer, where & starts a code.
func headerText(s string) string { return strings.ReplaceAll(text(s), "&", "&&") }
