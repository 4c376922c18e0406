package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
)

// object of a document.
type object struct {
	number     int
	dictionary []byte // all of it where it is no stream
	stream     bool
	content    bool     // of a page
	glyphs     bool     // of characters, two bytes each
	items      []placed // of the content, where they were read already
	final      bool     // the stream is as it is to be
	data       []byte
	attached   *attachment // whose bytes stand in the place of data; nil: data is all
}

// errStructure is that of a document which is not as fpdf writes them.
var errStructure = errors.New("its structure is not known")

// objectsOf reads the objects of a document as fpdf writes it, numbered from 1 without gaps, and the
// entries of its trailer that name root and description.
func objectsOf(document []byte) (list []object, root string, err error) {
	end := bytes.LastIndex(document, []byte("startxref\n"))
	table := bytes.LastIndex(document[:max(end, 0)], []byte("\nxref\n"))
	if table < 0 {
		return nil, "", errStructure
	}
	head, trailer, _ := bytes.Cut(document[table:end], []byte("trailer\n"))
	lines := bytes.Split(bytes.TrimSpace(head), []byte("\n"))
	const before = 3 // the name of the table, its range, and object 0
	for i, line := range lines[min(before, len(lines)):] {
		offset, err := strconv.Atoi(string(line[:min(10, len(line))]))
		if err != nil || offset > table {
			return nil, "", errStructure
		}
		o, err := objectAt(document[offset:table+1], i+1)
		if err != nil {
			return nil, "", err
		}
		list = append(list, o)
	}
	at := bytes.Index(trailer, []byte("/Root"))
	if at < 0 {
		return nil, "", errStructure
	}
	return list, string(bytes.TrimRight(trailer[at:], "> \n")), nil
}

var lengthEntry = regexp.MustCompile(`/Length (\d+)`)

// objectAt reads the object of a number with which the document goes on.
func objectAt(document []byte, number int) (object, error) {
	body, begins := bytes.CutPrefix(document, fmt.Appendf(nil, "%d 0 obj\n", number))
	end := bytes.Index(body, []byte("\nendobj\n"))
	if !begins || end < 0 {
		return object{}, errStructure
	}
	dictionary, data, isStream := bytes.Cut(body, []byte("\nstream\n"))
	if !isStream || len(dictionary) > end {
		return object{number: number, dictionary: undated(body[:end])}, nil
	}
	length := lengthEntry.FindSubmatch(dictionary)
	if length == nil {
		return object{}, errStructure
	}
	n, err := strconv.Atoi(string(length[1]))
	if err != nil || n > len(data) {
		return object{}, errStructure
	}
	return object{number: number, dictionary: bytes.TrimSpace(dictionary), stream: true, data: data[:n]}, nil
}
