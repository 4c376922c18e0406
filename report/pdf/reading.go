package pdf

import (
	"bytes"
	"errors"
	"regexp"
	"slices"
	"strings"
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

func (f *File) read(o *bodies) error {
	f.Cells = statedCells(o)
	w, err := wordsOf(o)
	if err != nil {
		return err
	}
	for i := range o.list {
		b := &o.list[i]
		switch page := contents.FindSubmatch(b.dictionary); {
		case bytes.HasPrefix(b.dictionary, []byte("<< /Type /EmbeddedFile ")):
			f.Results, err = o.unpacked(b)
		case page != nil && (string(page[1]) != w.resources || bytes.Count(b.dictionary, []byte("/Resources"))+bytes.Count(b.dictionary, []byte("/Contents")) != 2):
			err = errForeign
		case page != nil:
			err = f.addPage(w, string(page[2]))
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

var contents = regexp.MustCompile(`^<</Type /Page\n[\s\S]*/Resources ([0-9]{1,9}) 0 R\n[\s\S]*/Contents ([0-9]{1,9}) 0 R>>\s*$`)

func (f *File) addPage(w *words, number string) error {
	at, known := w.places[number]
	if !known {
		return errForeign
	}
	stream, err := w.unpacked(&w.list[at])
	if err != nil {
		return err
	}
	texts, ours := w.textsOf(stream)
	if !ours {
		return errForeign
	}
	f.Pages = append(f.Pages, texts)
	return nil
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
