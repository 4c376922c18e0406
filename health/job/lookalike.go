package job

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// lookalikes writes letters of other alphabets as the Latin ones that they look like (Unicode Technical Standard 39, confusables;
// from memory).
var lookalikes = strings.NewReplacer(
	"А", "A", "В", "B", "Е", "E", "К", "K", "М", "M", "Н", "H", "О", "O", "Р", "P", "С", "C", "Т", "T", "У", "Y", "Х", "X", "І", "I", "Ј", "J", "Ѕ", "S",
	"а", "a", "е", "e", "о", "o", "р", "p", "с", "c", "у", "y", "х", "x", "і", "i", "ј", "j", "ѕ", "s",
	"Α", "A", "Β", "B", "Ε", "E", "Ζ", "Z", "Η", "H", "Ι", "I", "Κ", "K", "Μ", "M", "Ν", "N", "Ο", "O", "Ρ", "P", "Τ", "T", "Υ", "Y", "Χ", "X", "ο", "o",
)

// looks makes labels equal that a reader cannot tell apart: case, blanks, invisible characters, dashes of every kind, wide and
// styled letters, and letters of other alphabets.
func looks(label string) string {
	label = strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Pd, r), r == '−':
			return '-'
		case unicode.Is(unicode.Cf, r), unicode.Is(unicode.Variation_Selector, r):
			return -1
		}
		return r
	}, norm.NFKC.String(label))
	return strings.Join(strings.Fields(fold(lookalikes.Replace(label))), " ")
}

// spellings refuses labels of cells that look alike and are not: mostly one cell, whose history would be torn in two.
func (s *sheet) spellings(list []Measurement) {
	first := map[string]Measurement{}
	told := map[string]bool{}
	for i, m := range list {
		key := looks(m.Cell)
		earlier, known := first[key]
		switch {
		case !known:
			first[key] = m
		case earlier.Cell != m.Cell && !told[m.Cell]:
			told[m.Cell] = true
			s.fault(s.at(i, "cell"), "write it alike wherever it is the same cell", "%s differs from %s in line %d only in %s; one cell has one spelling",
				quote(m.Cell), quote(earlier.Cell), earlier.Line, difference(m.Cell, earlier.Cell))
		}
	}
}

// difference says in what two labels differ that look alike.
func difference(label, other string) string {
	blanks := func(text string) string { return strings.Join(strings.Fields(fold(text)), " ") }
	switch {
	case norm.NFC.String(label) == norm.NFC.String(other):
		return "how an accent is put together with its letter (Unicode's NFC and NFD)"
	case blanks(label) == blanks(other):
		return "case or blanks"
	}
	a, b := []rune(norm.NFC.String(label)), []rune(norm.NFC.String(other))
	for i := range min(len(a), len(b)) {
		if unicode.ToLower(a[i]) != unicode.ToLower(b[i]) {
			return fmt.Sprintf("characters that look alike (the character at place %d is %U, there it is %U)", i+1, a[i], b[i])
		}
	}
	return "a character that is not seen"
}
