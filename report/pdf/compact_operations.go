package pdf

import (
	"bytes"
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
	n := bytes.IndexAny(b[1:], " \n\r\t()[]<>{}/%")
	if n < 0 {
		return len(b)
	}
	return 1 + n
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

var (
	contentEntry = regexp.MustCompile(`/Contents (\d+) 0 R`)
	fontsEntry   = regexp.MustCompile(`/Font <<\n((?:/F[0-9a-f]+ \d+ 0 R\n)+)`)
	fontName     = regexp.MustCompile(`/F[0-9a-f]+`)
)

// markContents marks the streams that are contents of pages, and gives the fonts short names in the resources.
func markContents(objects []object) (names map[string]string) {
	names = map[string]string{}
	for i := range objects {
		if objects[i].stream {
			continue
		}
		for _, of := range contentEntry.FindAllSubmatch(objects[i].dictionary, -1) {
			if n, err := strconv.Atoi(string(of[1])); err == nil && n >= 1 && n <= len(objects) {
				objects[n-1].content = true
			}
		}
		if at := fontsEntry.FindSubmatchIndex(objects[i].dictionary); at != nil {
			objects[i].dictionary = withShortNames(objects[i].dictionary, at[2], at[3], names)
		}
	}
	return names
}

// withShortNames numbers the names of fonts between two places of a dictionary.
func withShortNames(dictionary []byte, from, to int, names map[string]string) []byte {
	short := fontName.ReplaceAllFunc(dictionary[from:to], func(name []byte) []byte {
		if names[string(name)] == "" {
			names[string(name)] = "/F" + strconv.Itoa(len(names)+1)
		}
		return []byte(names[string(name)])
	})
	return append(append(bytes.Clone(dictionary[:from]), short...), dictionary[to:]...)
}
