package pdf

import (
	"bytes"
	"compress/zlib"
	"context"
	"fmt"
	"io"
	"regexp"

	"ohmledger/health/parallel"
	"ohmledger/report/pdf/internal/deflate"
)

// mostSparing is how many streams a document has at most if all are compressed as far as it goes: larger ones would wait for
// it.
const mostSparing = 256

// deflateAll compresses the streams of a document again, each by itself; contents of pages are
// written by a plan before, if there is one.
func deflateAll(objects []object, p *plan) error {
	var streams []*object
	for i := range objects {
		if objects[i].stream {
			streams = append(streams, &objects[i])
		}
	}
	by := deflated
	if len(streams) > mostSparing {
		by = deflatedInHaste
	}
	return parallel.Tried(context.Background(), streams, func(_ context.Context, o *object) error { return o.deflate(p, by) })
}

// deflate compresses a stream that is compressed with Deflate or not at all; pictures stay as they are.
func (o *object) deflate(p *plan, by func([]byte) ([]byte, error)) error {
	if o.final || o.filtered() && !o.deflated() {
		return nil
	}
	plain, err := o.planned(p)
	if err != nil {
		return err
	}
	if fontEntryOf.Match(o.dictionary) {
		plain = lean(plain)
		o.dictionary = fontEntryOf.ReplaceAll(o.dictionary, fmt.Appendf(nil, "/Length1 %d", len(plain)))
	}
	if o.glyphs {
		plain = upToLast(plain)
	}
	small, err := by(plain)
	if err != nil {
		return err
	}
	entries := fmt.Appendf(nil, "/Length %d", len(small))
	if !o.filtered() {
		entries = append(entries, " /Filter /FlateDecode"...)
	}
	o.dictionary, o.data = lengthEntry.ReplaceAll(o.dictionary, entries), small
	return nil
}

func (o *object) filtered() bool { return bytes.Contains(o.dictionary, []byte("/Filter")) }
func (o *object) deflated() bool { return bytes.Contains(o.dictionary, []byte("/Filter /FlateDecode")) }

// inflated is the plain stream of one that is compressed with Deflate or not at all.
func (o *object) inflated() ([]byte, error) {
	if !o.filtered() {
		return o.data, nil
	}
	r, err := zlib.NewReader(bytes.NewReader(o.data))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// planned is the plain stream, that of a page as it is to be.
func (o *object) planned(p *plan) ([]byte, error) {
	if o.content && p != nil && o.items != nil {
		items := o.items
		o.items = nil
		return p.pageOf(items), nil
	}
	plain, err := o.inflated()
	if o.content && p != nil && err == nil {
		items, _ := itemsOf(plain, p.names)
		plain = p.pageOf(items)
	}
	return plain, err
}

// upToLast are the glyphs of characters up to the last that has one: fpdf says of all 65,536 that they have none.
func upToLast(glyphs []byte) []byte {
	n := len(bytes.TrimRight(glyphs, "\x00"))
	return glyphs[:n+n%2]
}

// fontEntryOf is in the dictionaries of embedded fonts: their length before compression.
var fontEntryOf = regexp.MustCompile(`/Length1 \d+`)

// deflated is compressed as far as it goes.
func deflated(plain []byte) ([]byte, error) { return deflate.Compress(plain), nil }

// deflatedInHaste takes a fifth of the time, and some parts in a hundred more room.
func deflatedInHaste(plain []byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := zlib.NewWriterLevel(&b, zlib.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(plain); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
