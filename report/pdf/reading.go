package pdf

import (
	"bytes"
	"errors"
	"regexp"
	"slices"
	"strings"
	"unicode/utf16"
)

// File is a report's PDF, read back. Only what Write wrote can be read: another program that saves it anew may keep every
// word and yet leave nothing of the form.
type File struct {
	Sealed  bool // every byte is as it was written
	Added   int  // bytes that stand behind what was written: a signature, a note, or a change
	Cells   Selection
	Results []byte     // results.json, attached
	Pages   [][]string // the texts of each page, in the order in which they were set
}

// errForeign is what Open says of other files.
var errForeign = errors.New("is no PDF as ohmledger writes it; if another program saved it anew, ask for the file as it was issued")

// Open reads a file. It takes no more memory than a small multiple of the file, whatever that says of itself.
func Open(b []byte) (*File, error) {
	end := bytes.Index(b, []byte(endMark))
	if !bytes.HasPrefix(b, []byte("%PDF-")) || end < 0 {
		return nil, errForeign
	}
	end += len(endMark)
	f := &File{Added: len(b) - end}
	computed, carried := sealOf(b[:end])
	f.Sealed = computed != "" && computed == carried
	o, err := bodiesOf(b[:end])
	if err != nil {
		return nil, err
	}
	return f, f.read(o)
}

// endMark ends a file; what is written later begins behind it (ISO 32000-1:2008, 7.5.6).
const endMark = "\n%%EOF\n"

func (f *File) read(o *bodies) (err error) {
	f.Cells = statedCells(o)
	places := o.places()
	for i := range o.list {
		b := &o.list[i]
		page := contents.FindSubmatch(b.dictionary)
		switch {
		case bytes.HasPrefix(b.dictionary, []byte("<< /Type /EmbeddedFile ")):
			f.Results, err = o.unpacked(b)
		case page != nil:
			at, known := places[string(page[1])]
			if !known {
				return errForeign
			}
			err = f.addPage(o, &o.list[at])
		}
		if err != nil {
			return err
		}
	}
	if f.Results == nil || len(f.Pages) == 0 {
		return errForeign
	}
	return nil
}

var contents = regexp.MustCompile(`^<</Type /Page\n[\s\S]*/Contents ([0-9]{1,9}) 0 R>>\s*$`)

func (f *File) addPage(o *bodies, contents *body) error {
	stream, err := o.unpacked(contents)
	texts, ours := textsOf(stream)
	if err == nil && !ours {
		return errForeign
	}
	f.Pages = append(f.Pages, texts)
	return err
}

// statedCells finds in the keywords which cells have a section.
func statedCells(o *bodies) Selection {
	for _, s := range []Selection{FailedCells, NoCells} {
		entry := []byte("/Keywords (" + wide(keywordsBegin+string(s)) + ")")
		if slices.ContainsFunc(o.list, func(b body) bool { return bytes.Contains(b.dictionary, entry) }) {
			return s
		}
	}
	return AllCells
}

// wide is ASCII text as the document's properties hold it: UTF-16 with a byte order mark.
func wide(text string) string {
	var b strings.Builder
	b.WriteString("\xFE\xFF")
	for i := range len(text) {
		b.WriteByte(0)
		b.WriteByte(text[i])
	}
	return b.String()
}

// unusual are operators by which a page could show other words than those that are read here: no report holds them
// (ISO 32000-1, 9.3.6 and 9.4.3).
var unusual = []string{"TJ", "Tr", "BI"}

// quote reports whether an operand is one of the two operators of texts that are not letters.
func quote(operand []byte) bool { return operand[0] == '\'' || operand[0] == '"' }

// textsOf are the strings that a page shows, each as it was set; ours is false where it could show others.
func textsOf(stream []byte) (texts []string, ours bool) {
	for {
		o, rest, ok := nextOperation(stream)
		if !ok || slices.Contains(unusual, o.operator) || slices.ContainsFunc(o.operands, quote) {
			return nil, false
		}
		if o.operator == "" {
			return texts, true
		}
		if n := len(o.operands); o.operator == "Tj" && n > 0 && o.operands[n-1][0] == '(' {
			texts = append(texts, stringOf(o.operands[n-1][1:]))
		}
		stream = rest
	}
}

// stringOf reads a string of UTF-16 up to its closing bracket (ISO 32000-1, 7.3.4.2).
func stringOf(b []byte) string {
	var units []uint16
	var high byte
	odd := false
	for i := 0; i < len(b); i++ {
		c := b[i]
		switch {
		case c == ')':
			return string(utf16.Decode(units))
		case c == '\\' && i+1 < len(b):
			i++
			if c = b[i]; c == 'r' {
				c = '\r'
			}
		}
		if odd {
			units = append(units, uint16(high)<<8|uint16(c))
		}
		high, odd = c, !odd
	}
	return string(utf16.Decode(units))
}
