package pdf

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
)

// compact rewrites a finished document in fewer bytes: its streams compressed as far as Deflate goes, all
// other objects and the table of their places in streams of their own (ISO 32000-1:2008, 7.5.7 and 7.5.8), and the
// contents of pages said tersely. What is attached comes in place of its stand-in.
// fpdf compresses for speed and knows no such streams; pages, numbers of objects and what they hold stay.
func compact(document []byte, attached *attachment) (*file, error) {
	objects, root, err := objectsOf(document)
	if err != nil {
		return nil, fmt.Errorf("pdf: the document cannot be read back: %w", err)
	}
	if attached != nil {
		attached.embed(objects)
	}
	objects, err = rewritten(objects)
	if err != nil {
		return nil, fmt.Errorf("pdf: a stream cannot be read back: %w", err)
	}
	w := newCompactWriter(objects)
	for _, o := range objects {
		if o.stream {
			w.writeStream(o)
		}
	}
	if err := w.writeOthers(objects); err != nil {
		return nil, err
	}
	return w.close(root, sha256.Sum256(document))
}

// rewritten are the objects with what they share said once, and all streams compressed.
func rewritten(objects []object) ([]object, error) {
	p, err := planOf(objects, markContents(objects))
	if err != nil {
		return nil, err
	}
	if p != nil {
		if objects, err = p.follow(objects); err != nil {
			return nil, err
		}
	}
	return objects, deflateAll(objects, p)
}

// file is a document that is complete: its bytes, among which those of what is attached are to come.
type file struct {
	bytes    []byte
	attached *attachment // nil: nothing
	at       int         // where in bytes it is to come
}

// WriteTo writes the whole file.
func (f *file) WriteTo(w io.Writer) (int64, error) {
	before, err := w.Write(f.bytes[:f.at])
	if err != nil {
		return int64(before), err
	}
	among := int64(0)
	if f.attached != nil {
		if among, err = f.attached.deflated.WriteTo(w); err != nil {
			return int64(before) + among, err
		}
	}
	after, err := w.Write(f.bytes[f.at:])
	return int64(before) + among + int64(after), err
}

// compactWriter writes objects and remembers where they are.
type compactWriter struct {
	bytes.Buffer
	attached *attachment // nil: none yet
	at       int         // where it is to come
	places   []place     // by the numbers of the objects
}

// place is a row of the table of places: its kind, and two numbers that mean what the kind says.
type place struct {
	kind          byte
	first, second uint32
}

// The kinds of places.
const (
	free     = 0
	inFile   = 1 // at an offset, generation 0
	inStream = 2 // in the stream of a number, at an index there
)

// newCompactWriter begins a document; the comment marks it as binary (ISO 32000-1:2008, 7.5.2).
func newCompactWriter(objects []object) *compactWriter {
	w := &compactWriter{places: make([]place, len(objects)+1, len(objects)+8)}
	w.places[0] = place{free, 0, 65535}
	w.WriteString("%PDF-1.5\n%\xe2\xe3\xcf\xd3\n")
	return w
}

// offset is where in the file the next byte is to be.
func (w *compactWriter) offset() int64 {
	if w.attached == nil {
		return int64(w.Len())
	}
	return int64(w.Len()) + w.attached.deflated.size
}

func (w *compactWriter) writeStream(o object) {
	for len(w.places) <= o.number {
		w.places = append(w.places, place{})
	}
	w.places[o.number] = place{inFile, uint32(w.offset()), 0}
	fmt.Fprintf(w, "%d 0 obj\n%s\nstream\n", o.number, o.dictionary)
	if o.attached != nil {
		w.attached, w.at = o.attached, w.Len()
	}
	w.Write(o.data)
	w.WriteString("\nendstream\nendobj\n")
}

// perStream is how many objects share a stream: a reader must expand all of it for one of them.
const perStream = 200

// writeOthers writes the objects that are no streams.
func (w *compactWriter) writeOthers(objects []object) error {
	var group []object
	for _, o := range objects {
		if !o.stream {
			group = append(group, o)
		}
		if len(group) == perStream {
			if err := w.writeGroup(group); err != nil {
				return err
			}
			group = group[:0]
		}
	}
	if len(group) == 0 {
		return nil
	}
	return w.writeGroup(group)
}

// mended gives the attached file the name that fpdf writes for newer readers only, and a key without a slip
// of the pen.
var mended = strings.NewReplacer("/Filespec /F ()", "/Filespec /F (results.json)", "(Attachement1)", "(results.json)")

func (w *compactWriter) writeGroup(group []object) error {
	number := len(w.places)
	var index, bodies bytes.Buffer
	for i, o := range group {
		w.places[o.number] = place{inStream, uint32(number), uint32(i)}
		fmt.Fprintf(&index, "%d %d ", o.number, bodies.Len())
		bodies.WriteString(mended.Replace(string(o.dictionary)))
		bodies.WriteByte('\n')
	}
	dictionary := fmt.Sprintf("/Type /ObjStm /N %d /First %d", len(group), index.Len())
	return w.writeDeflated(number, dictionary, append(index.Bytes(), bodies.Bytes()...))
}

func (w *compactWriter) writeDeflated(number int, entries string, data []byte) error {
	small, err := deflated(data)
	if err != nil {
		return err
	}
	w.writeStream(object{number: number, stream: true, data: small,
		dictionary: fmt.Appendf(nil, "<<%s /Filter /FlateDecode /Length %d>>", entries, len(small))})
	return nil
}

// close writes the table of places, which has itself in it, and the end of the document. Its digest
// identifies the document.
func (w *compactWriter) close(root string, digest [sha256.Size]byte) (*file, error) {
	start, number := w.offset(), len(w.places)
	w.places = append(w.places, place{inFile, uint32(start), 0})
	rows := make([]byte, 0, 7*len(w.places))
	for _, p := range w.places {
		rows = binary.BigEndian.AppendUint32(append(rows, p.kind), p.first)
		rows = binary.BigEndian.AppendUint16(rows, uint16(p.second))
	}
	entries := fmt.Sprintf("/Type /XRef /W [1 4 2] /Size %d %s /ID [<%x> <%[3]x>]", len(w.places), root, digest[:16])
	if err := w.writeDeflated(number, entries, rows); err != nil {
		return nil, err
	}
	fmt.Fprintf(w, "startxref\n%d\n%%%%EOF\n", start)
	return &file{w.Bytes(), w.attached, w.at}, nil
}
