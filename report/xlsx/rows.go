package xlsx

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf16"
)

// rows writes the rows of a sheet straight into the archive: the workbook library would hold each sheet whole until
// the file is written, some hundred megabytes for 20,000 measurements, and cut numbers to 15 digits.
type rows struct {
	out     io.Writer
	line    bytes.Buffer // the row being written
	letters []string     // of columns
	err     error        // the first of out
}

// placed is a cell with the number of its style.
type placed struct {
	cell
	style int
}

// add writes a row of a height in points (ISO/IEC 29500-1, 18.3.1.73 and 18.3.1.4).
func (r *rows) add(at int, height float64, cells []placed) {
	r.line.Reset()
	row := strconv.Itoa(at)
	r.text(`<row r="`, row, `" ht="`)
	r.line.Write(strconv.AppendFloat(r.line.AvailableBuffer(), height, 'f', -1, 64))
	r.text(`" customHeight="1">`)
	for i, c := range cells {
		if c.value != nil || c.style != 0 {
			r.cell(i, row, c)
		}
	}
	r.text(`</row>`)
	if r.err == nil {
		_, r.err = r.out.Write(r.line.Bytes())
	}
}

func (r *rows) text(parts ...string) {
	for _, p := range parts {
		r.line.WriteString(p)
	}
}

func (r *rows) letter(i int) string {
	for len(r.letters) <= i {
		r.letters = append(r.letters, letterOf(len(r.letters)+1))
	}
	return r.letters[i]
}

// cell writes one: a text as itself, or with its formula the value that it gives.
func (r *rows) cell(column int, row string, c placed) {
	r.text(`<c r="`, r.letter(column), row, `" s="`)
	r.line.Write(strconv.AppendInt(r.line.AvailableBuffer(), int64(c.style), 10))
	if at, isTime := c.value.(time.Time); isTime && !datable(at) {
		c.value = at.Format(time.DateOnly)
	}
	said, isText := c.value.(string)
	switch {
	case isText && c.formula == "":
		r.text(`" t="inlineStr"><is><t xml:space="preserve">`)
		r.escaped(storable(said))
		r.text(`</t></is></c>`)
		return
	case isText:
		r.text(`" t="str">`)
	default:
		r.text(`">`)
	}
	if c.formula != "" {
		r.text(`<f>`)
		r.escaped(c.formula)
		r.text(`</f>`)
	}
	r.text(`<v>`)
	if isText {
		r.escaped(storable(said))
	} else {
		r.line.Write(appendNumber(r.line.AvailableBuffer(), c.value))
	}
	r.text(`</v></c>`)
}

// escaped writes a text as XML has it; most texts have nothing to escape.
func (r *rows) escaped(s string) {
	for i := 0; i < len(s); i++ {
		if b := s[i]; b < ' ' || b >= 0x7f || strings.IndexByte(`&<>'"`, b) >= 0 {
			_ = xml.EscapeText(&r.line, []byte(s)) // into memory
			return
		}
	}
	r.line.WriteString(s)
}

// appendNumber writes every digit of a number, the day number of a time. What is no finite number is blank.
func appendNumber(b []byte, value any) []byte {
	switch v := value.(type) {
	case nil:
		return b
	case int:
		return strconv.AppendInt(b, int64(v), 10)
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return b
		}
		return strconv.AppendFloat(b, v, 'g', -1, 64)
	case time.Time:
		return strconv.AppendFloat(b, serial(v), 'f', -1, 64)
	}
	panic("xlsx: a cell cannot hold this kind of value")
}

// escape is how the format writes characters that XML cannot hold; a text that happens to look so has to say
// that it does not mean it (ISO/IEC 29500-1, 22.9.2.19).
var escape = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// longest is how many UTF-16 units a cell holds.
const longest = 32767

func storable(s string) string {
	if len(s) > longest {
		if units := utf16.Encode([]rune(s)); len(units) > longest {
			end := longest - 2
			if first, _ := utf16.EncodeRune(utf16.DecodeRune(rune(units[end-1]), rune(units[end]))); first == rune(units[end-1]) {
				end-- // no half of a character
			}
			s = string(utf16.Decode(units[:end])) + "…"
		}
	}
	if !strings.Contains(s, "_x") {
		return s
	}
	return escape.ReplaceAllStringFunc(s, func(found string) string { return "_x005F" + found })
}
