package pdf

import (
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

// one counts what shows of a piece: every character is one wide.
func one(p piece) float64 { return float64(utf8.RuneCountInString(p.text)) }

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width float64
		want  []string
	}{
		{"", 10, []string{""}},
		{"one two three", 7, []string{"one two", "three"}},
		{"one  two", 20, []string{"one  two"}},
		{"one\ntwo", 20, []string{"one", "two"}},
		{"one\n\ntwo", 20, []string{"one", "", "two"}},
		{"abcdefghij", 4, []string{"abcd", "efgh", "ij"}},
		{"spectra/A-001_02.csv", 10, []string{"spectra/A-", "001_02.csv"}},
		{"on 2026-03-14 and", 9, []string{"on", "2026-03-1", "4 and"}}, // a date is broken only where it does not fit at all
		{"on 2026-03-14", 11, []string{"on", "2026-03-14"}},
		{"of 53\u00a0kJ/mol", 10, []string{"of", "53\u00a0kJ/mol"}},
		{"10–20 Hz", 7, []string{"10–20", "Hz"}},
		{"R_{ct} R_{Ω}", 4, []string{"R_{ct}", "R_{Ω}"}}, // marks take no room
		{"xR_{ct}", 3, []string{"xR", "_{ct}"}},
		{"20\u00a0mΩ 7", 5, []string{"20\u00a0mΩ", "7"}},
		{"Konformitäts\u00ADwahrschein\u00ADlichkeit", 18, []string{"Konformitäts-", "wahrschein\u00ADlichkeit"}}, // shows as one word
		{"Konformitäts\u00ADwahrschein\u00ADlichkeit", 12, []string{"Konformitäts", "wahrschein-", "lichkeit"}},   // no room for a hyphen
		{"ein Bezugs\u00ADwert", 11, []string{"ein Bezugs-", "wert"}},
		{"W", 0.5, []string{"W"}}, // a line holds at least one piece
	} {
		if got := wrap(c.text, c.width, one); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q in %v: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

// FuzzWrap states: but for blanks nothing is lost or added, no line is wider than allowed unless it is
// one piece, and lines once broken stay as they are.
func FuzzWrap(f *testing.F) {
	f.Add("one two three", 7)
	f.Add(hostileText, 11)
	f.Add("R_{ct}^_{f}-/_{", 3)
	f.Fuzz(func(t *testing.T, text string, width int) {
		if width < 1 || width > 200 {
			return
		}
		text = strings.ReplaceAll(newAlphabet().legible(text), string(softHyphen), "") // which a break would turn into a hyphen
		lines := wrap(text, float64(width), one)
		if kept, want := unspaced(strings.Join(lines, "")), unspaced(text); kept != want {
			t.Errorf("%q in %d: %q is left of %q", text, width, kept, want)
		}
		for _, l := range lines {
			if p := runs(l); len(p) > 0 && len(nextPiece(l).source) < len(l) && lengthOf(l) > float64(width) {
				t.Errorf("%q in %d: the line %q is %v wide", text, width, l, lengthOf(l))
			}
		}
		if again := wrap(strings.Join(lines, "\n"), float64(width), one); !reflect.DeepEqual(again, lines) {
			t.Errorf("%q in %d: broken again %q, at first %q", text, width, again, lines)
		}
	})
}

func unspaced(s string) string { return strings.NewReplacer(" ", "", "\n", "").Replace(s) }

func lengthOf(line string) (w float64) {
	for _, r := range runs(line) {
		w += one(r)
	}
	return w
}
