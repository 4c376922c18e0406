package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// deflateAll compresses the streams of a document again, as far as Deflate goes, each by itself; contents of pages are
// said tersely before, with other names for fonts.
func deflateAll(objects []object, names map[string]string) error {
	var work errgroup.Group
	work.SetLimit(runtime.GOMAXPROCS(0))
	for i := range objects {
		if objects[i].stream {
			work.Go(func() error { return objects[i].deflate(names) })
		}
	}
	return work.Wait()
}

// deflate compresses a stream that is compressed with Deflate or not at all; pictures stay as they are.
func (o *object) deflate(names map[string]string) error {
	filtered := bytes.Contains(o.dictionary, []byte("/Filter"))
	if o.final || filtered && !bytes.Contains(o.dictionary, []byte("/Filter /FlateDecode")) {
		return nil
	}
	plain := o.data
	if filtered {
		r, err := zlib.NewReader(bytes.NewReader(o.data))
		if err != nil {
			return err
		}
		if plain, err = io.ReadAll(r); err != nil {
			return err
		}
	}
	if o.content {
		plain = terse(plain, names)
	}
	if fontEntryOf.Match(o.dictionary) {
		plain = lean(plain)
		o.dictionary = fontEntryOf.ReplaceAll(o.dictionary, fmt.Appendf(nil, "/Length1 %d", len(plain)))
	}
	small, err := deflate(plain)
	if err != nil {
		return err
	}
	entries := fmt.Appendf(nil, "/Length %d", len(small))
	if !filtered {
		entries = append(entries, " /Filter /FlateDecode"...)
	}
	o.dictionary, o.data = lengthEntry.ReplaceAll(o.dictionary, entries), small
	return nil
}

// fontEntryOf is in the dictionaries of embedded fonts: their length before compression.
var fontEntryOf = regexp.MustCompile(`/Length1 \d+`)

func deflate(plain []byte) ([]byte, error) {
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
