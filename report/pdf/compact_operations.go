package pdf

import (
	"bytes"
	"math"
	"regexp"
	"strconv"
)

// operation is an operator of a content stream with its operands; blank at the end of the content.
type operation struct {
	operands [][]byte
	operator string
}

// nextOperation reads the operation that a content begins with, and gives the rest. It is not ok where an operand has
// no end or is of a kind that fpdf does not write.
func nextOperation(b []byte) (o operation, rest []byte, ok bool) {
	for {
		b = bytes.TrimLeft(b, " \n\r\t")
		if len(b) == 0 {
			return o, nil, len(o.operands) == 0
		}
		n := lengthOfToken(b)
		if n == 0 {
			return o, nil, false
		}
		token := b[:n]
		b = b[n:]
		if c := token[0]; c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' {
			o.operator = string(token)
			return o, b, true
		}
		o.operands = append(o.operands, token)
	}
}

// lengthOfToken is that of the string, array, name, number or operator that b begins with, 0 where it is none of these.
func lengthOfToken(b []byte) int {
	switch b[0] {
	case '(':
		return lengthOfString(b)
	case '[':
		return bytes.IndexByte(b, ']') + 1
	case ')', ']', '<', '>', '{', '}', '%':
		return 0
	}
	n := bytes.IndexAny(b, " \n\r\t()[]<>{}%")
	if n < 0 {
		n = len(b)
	}
	if slash := bytes.IndexByte(b[1:n], '/'); slash >= 0 {
		n = 1 + slash
	}
	if bytes.ContainsFunc(b[:n], func(c rune) bool { return c <= ' ' || c > '~' }) {
		return 0
	}
	return n
}

// lengthOfString counts to the bracket that closes a string; fpdf puts a backslash before those inside.
func lengthOfString(b []byte) int {
	for i := 1; i < len(b); i++ {
		switch b[i] {
		case '\\':
			i++
		case ')':
			return i + 1
		}
	}
	return 0
}

// farthest is more than what stands on a page, in points.
const farthest = 1e6

// numbersOf are the operands of an operation of so many.
func numbersOf(o operation, count int) (v [6]float64, ok bool) {
	for i := range min(count, len(o.operands)) {
		var err error
		if v[i], err = strconv.ParseFloat(string(o.operands[i]), 64); err != nil || !(math.Abs(v[i]) < farthest) {
			return v, false
		}
	}
	return v, len(o.operands) == count
}

// coordinatesOf are how many operands an operator of paths has.
func coordinatesOf(operator string) int {
	switch operator {
	case "m", "l":
		return 2
	case "re":
		return 4
	case "c":
		return 6
	}
	return 0
}

var (
	contentEntry = regexp.MustCompile(`/Contents (\d+) 0 R`)
	glyphsEntry  = regexp.MustCompile(`/CIDToGIDMap (\d+) 0 R`)
	fontsEntry   = regexp.MustCompile(`/Font <<\n((?:/F[0-9a-f]+ \d+ 0 R\n)+)`)
	fontName     = regexp.MustCompile(`/F[0-9a-f]+\b`)
)

// markContents marks the streams that are contents of pages or say the glyphs of characters, and gives short names to the fonts in
// the resources.
func markContents(objects []object) (names map[string]string) {
	names = map[string]string{}
	for i := range objects {
		if objects[i].stream {
			continue
		}
		for _, of := range contentEntry.FindAllSubmatch(objects[i].dictionary, -1) {
			if n, ok := numberOf(of[1], len(objects)); ok {
				objects[n-1].content = true
			}
		}
		for _, of := range glyphsEntry.FindAllSubmatch(objects[i].dictionary, -1) {
			if n, ok := numberOf(of[1], len(objects)); ok {
				objects[n-1].glyphs = true
			}
		}
		for _, name := range fontName.FindAllString(string(fontsEntry.Find(objects[i].dictionary)), -1) {
			if names[name] == "" {
				names[name] = "/F" + strconv.Itoa(len(names)+1)
			}
		}
	}
	return names
}

// numberOf is the number of one of so many objects.
func numberOf(digits []byte, count int) (n int, ok bool) {
	n, err := strconv.Atoi(string(digits))
	return n, err == nil && n >= 1 && n <= count
}

// renamed is a dictionary with the names of fonts as a plan has them.
func (p *plan) renamed(dictionary []byte) []byte {
	at := fontsEntry.FindIndex(dictionary)
	if at == nil {
		return dictionary
	}
	short := fontName.ReplaceAllFunc(dictionary[at[0]:at[1]], func(name []byte) []byte {
		if short, known := p.names[string(name)]; known {
			return []byte(short)
		}
		return name
	})
	return append(append(bytes.Clone(dictionary[:at[0]]), short...), dictionary[at[1]:]...)
}
