package xlsx

import (
	"bytes"
	"compress/flate"
	"encoding/xml"
	"math"
	"regexp"
	"strconv"
	"time"
	"unicode/utf16"
)

// rows are the rows of a sheet, compressed as they are written: the workbook library would hold each sheet
// whole until the file is written, some hundred megabytes for 20,000 measurements, and cut numbers to 15
// digits. All else of a sheet is the library's; the pack puts the two together.
type rows struct {
	compressed bytes.Buffer
	deflate    *flate.Writer
	line       bytes.Buffer // the row being written
	letters    []string     // of columns
}

func newRows() *rows {
	r := &rows{}
	r.deflate, _ = flate.NewWriter(&r.compressed, flate.DefaultCompression) // errs for impossible levels only
	return r
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
	r.text(`<row r="`, row, `" ht="`, strconv.FormatFloat(height, 'f', -1, 64), `" customHeight="1">`)
	for i, c := range cells {
		if c.value != nil || c.style != 0 {
			r.cell(r.letter(i)+row, c)
		}
	}
	r.text(`</row>`)
	_, _ = r.deflate.Write(r.line.Bytes()) // into memory
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
func (r *rows) cell(place string, c placed) {
	r.text(`<c r="`, place, `" s="`, strconv.Itoa(c.style), `"`)
	content, isText := contentOf(c.value)
	switch {
	case c.formula != "" && isText:
		r.text(` t="str"><f>`)
		r.escaped(c.formula)
		r.text(`</f><v>`)
		r.escaped(content)
		r.text(`</v></c>`)
	case c.formula != "":
		r.text(`><f>`)
		r.escaped(c.formula)
		r.text(`</f><v>`, content, `</v></c>`)
	case isText:
		r.text(` t="inlineStr"><is><t xml:space="preserve">`)
		r.escaped(content)
		r.text(`</t></is></c>`)
	case content == "":
		r.text(`/>`)
	default:
		r.text(`><v>`, content, `</v></c>`)
	}
}

func (r *rows) escaped(s string) { _ = xml.EscapeText(&r.line, []byte(s)) } // into memory

// contentOf writes a value: every digit of a number, the day number of a time. What is no finite number is blank.
func contentOf(value any) (content string, isText bool) {
	switch v := value.(type) {
	case nil:
		return "", false
	case string:
		return storable(v), true
	case int:
		return strconv.Itoa(v), false
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return "", false
		}
		return strconv.FormatFloat(v, 'g', -1, 64), false
	case time.Time:
		return strconv.FormatFloat(serial(v), 'f', -1, 64), false
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
			s = string(utf16.Decode(units[:longest-2])) + "…"
		}
	}
	return escape.ReplaceAllStringFunc(s, func(found string) string { return "_x005F" + found })
}

// end completes the rows so that other compressed data can follow.
func (r *rows) end() {
	_ = r.deflate.Flush() // into memory
	r.deflate = nil
}
