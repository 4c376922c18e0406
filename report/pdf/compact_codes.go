package pdf

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
)

// codes are what a document's texts are written in: a byte for every character of ASCII and for the first others that occur, two
// for the rest. fpdf writes two for all.
type codes struct {
	characters []rune // that occur and are not ASCII, in order
	of         map[rune]int
}

// The bytes that stand alone for a character beyond ASCII, and those that begin a pair.
const (
	firstAlone = 0x80
	firstPair  = 0xE0
	mostCodes  = firstPair - firstAlone + (0x100-firstPair)<<8
)

// newCodes gives codes to characters; it is not ok where there are too many.
func newCodes(occurring []bool) (c *codes, ok bool) {
	c = &codes{of: map[rune]int{}}
	for r := rune(firstAlone); int(r) < len(occurring); r++ {
		if occurring[r] {
			c.of[r] = len(c.characters)
			c.characters = append(c.characters, r)
		}
	}
	return c, len(c.characters) <= mostCodes
}

// code of a character and its length in bytes.
func (c *codes) code(r rune) (code, length int) {
	n, beyond := c.of[r]
	switch {
	case !beyond:
		return int(r), 1
	case n < firstPair-firstAlone:
		return firstAlone + n, 1
	}
	return firstPair<<8 + n - (firstPair - firstAlone), 2
}

// appendCoded writes a string of UTF-16, in its brackets, in codes. Without codes it stays as it is.
func (c *codes) appendCoded(b []byte, operand string) []byte {
	if c == nil {
		return append(b, operand...)
	}
	b = append(b, '(')
	for _, unit := range unitsOf([]byte(operand[1:])) {
		code, length := c.code(rune(unit))
		if length == 2 {
			b = appendEscaped(b, byte(code>>8))
		}
		b = appendEscaped(b, byte(code))
	}
	return append(b, ')')
}

// appendEscaped writes a byte of a string (ISO 32000-1:2008, 7.3.4.2).
func appendEscaped(b []byte, v byte) []byte {
	switch v {
	case '(', ')', '\\':
		return append(b, '\\', v)
	case '\r':
		return append(b, `\r`...)
	}
	return append(b, v)
}

// characterMap maps the codes to the characters' numbers in Unicode, by which fpdf's fonts know their glyphs (ISO 32000-1:2008,
// 9.7.5.3); or to themselves for readers of the text (9.10.3).
func (c *codes) characterMap(toUnicode bool) []byte {
	kind, single, ranged, number := 1, "cidchar", "cidrange", "%d"
	if toUnicode {
		kind, single, ranged, number = 2, "bfchar", "bfrange", "<%04X>"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "/CIDInit/ProcSet findresource begin 12 dict begin begincmap /CIDSystemInfo<<%s>>def /CMapName/%s def /CMapType %d def\n",
		systemInfo, mapName, kind)
	b.WriteString("2 begincodespacerange <00> <DF> <E000> <FFFF> endcodespacerange\n")
	fmt.Fprintf(&b, "1 begin%s <00> <7F> "+number+" end%[1]s\n", ranged, 0)
	for group := range slices.Chunk(c.characters, mostInBlock) {
		fmt.Fprintf(&b, "%d begin%s\n", len(group), single)
		for _, r := range group {
			code, length := c.code(r)
			fmt.Fprintf(&b, "<%0*X> "+number+"\n", 2*length, code, r)
		}
		fmt.Fprintf(&b, "end%s\n", single)
	}
	b.WriteString("endcmap CMapName currentdict/CMap defineresource pop end end")
	return []byte(b.String())
}

const (
	mapName     = "Codes"
	systemInfo  = "/Registry(Adobe)/Ordering(UCS)/Supplement 0" // as fpdf describes its fonts
	mostInBlock = 100                                           // (ISO 32000-1:2008, 9.10.3)
)

// unitsOf reads a string of UTF-16 up to its closing bracket (ISO 32000-1:2008, 7.3.4.2).
func unitsOf(b []byte) (units []uint16) {
	raw := bytesOfString(b)
	for i := 0; i+1 < len(raw); i += 2 {
		units = append(units, uint16(raw[i])<<8|uint16(raw[i+1]))
	}
	return units
}

// bytesOfString reads a string up to its closing bracket.
func bytesOfString(b []byte) (out []byte) {
	for i := 0; i < len(b) && b[i] != ')'; i++ {
		c := b[i]
		if c == '\\' && i+1 < len(b) {
			i++
			if c = b[i]; c == 'r' {
				c = '\r'
			}
		}
		out = append(out, c)
	}
	return out
}

// decoded reads a string up to its closing bracket; without codes it is UTF-16.
func (c *codes) decoded(b []byte) string {
	if c == nil {
		return string(utf16.Decode(unitsOf(b)))
	}
	var text strings.Builder
	raw := bytesOfString(b)
	for i := 0; i < len(raw); i++ {
		n := int(raw[i])
		if n >= firstPair && i+1 < len(raw) {
			i++
			n = (n-firstPair)<<8 + int(raw[i]) + firstPair
		}
		switch n -= firstAlone; {
		case n < 0:
			text.WriteByte(raw[i])
		case n < len(c.characters):
			text.WriteRune(c.characters[n])
		default:
			text.WriteRune(unicode.ReplacementChar)
		}
	}
	return text.String()
}

var mappedCharacter = regexp.MustCompile(`(?m)^<(?:[0-9A-F]{2}){1,2}> ([0-9]{1,5})$`)

// codesOf reads codes from their map; it is not ok where that is not as characterMap writes it.
func codesOf(stream []byte) (c *codes, ok bool) {
	c = &codes{of: map[rune]int{}}
	for _, m := range mappedCharacter.FindAllSubmatch(stream, -1) {
		r, _ := strconv.Atoi(string(m[1]))
		c.of[rune(r)] = len(c.characters)
		c.characters = append(c.characters, rune(r))
	}
	return c, len(c.of) == len(c.characters) && len(c.of) <= mostCodes && bytes.Equal(stream, c.characterMap(false))
}
