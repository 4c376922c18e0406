package xlsx

import (
	"archive/zip"
	"bytes"
	"cmp"
	"crypto/sha256"
	"hash"
	"io"
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// pack is the archive of a workbook. The library writes its parts in random order, without the rows and with
// charts that lack what it has no words for; the pack adds and mends them, sorts the parts and dates them all alike.
type pack struct {
	book     *book
	squeezer *squeezer
	parts    []*part
}

const (
	contentTypes = "[Content_Types].xml"
	stylePart    = "xl/styles.xml"
	chartPart    = "xl/charts/chart"
	drawingPart  = "xl/drawings/drawing"
	sheetPart    = "xl/worksheets/sheet"
)

// Create begins a part.
func (p *pack) Create(name string) (io.Writer, error) {
	f := &part{name: name}
	p.parts = append(p.parts, f)
	return &f.content, nil
}

// AddFS is asked of archives, but no workbook is made of a folder.
func (p *pack) AddFS(fs.FS) error { panic("xlsx: a workbook is not made of a folder") }

// Close has nothing to do: the archive is written when all parts are known.
func (p *pack) Close() error { return nil }

// packed asks the library for its parts.
func (b *book) packed() (*pack, error) {
	p := &pack{book: b, squeezer: newSqueezer()}
	b.file.SetZipWriter(func(io.Writer) excelize.ZipWriter { return p })
	_, err := b.file.WriteTo(io.Discard)
	return p, err
}

// write writes the archive. Rows are made while they are written, and only then are all styles known, which come
// after them; last comes the part with the seal, since it seals what stands before it.
func (p *pack) write(w io.Writer) error {
	slices.SortFunc(p.parts, func(a, b *part) int {
		return cmp.Or(cmp.Compare(rank(a.name), rank(b.name)), strings.Compare(a.name, b.name))
	})
	sum := sha256.New()
	archive := zip.NewWriter(io.MultiWriter(w, sum))
	for _, f := range p.parts {
		if err := p.complete(f, archive, sum); err != nil {
			return err
		}
		if err := p.add(f, archive); err != nil {
			return err
		}
	}
	return archive.Close()
}

// complete fills in what is known only when the parts before stand.
func (p *pack) complete(f *part, archive *zip.Writer, sum hash.Hash) error {
	switch f.name {
	case sealPart:
		return f.seal(archive, sum)
	case stylePart:
		anew, err := p.book.packed()
		if err != nil {
			return err
		}
		i := slices.IndexFunc(anew.parts, func(f *part) bool { return f.name == stylePart })
		f.content = anew.parts[i].content
	}
	return nil
}

func rank(name string) int {
	switch name {
	case sealPart:
		return 2
	case stylePart:
		return 1
	}
	return 0
}

func (p *pack) add(f *part, archive *zip.Writer) error {
	if i, ok := numbered(f.name, sheetPart); ok && i < len(p.book.sheets) {
		return f.writeAround(archive, p.book.sheets[i])
	}
	content := f.content.Bytes()
	if f.name == contentTypes {
		content = sorted(content)
	}
	if i, ok := numbered(f.name, chartPart); ok && i < len(p.book.axes) {
		content = p.book.axes[i].mend(content)
	}
	if _, ok := numbered(f.name, drawingPart); ok {
		content = sized(content)
	}
	return p.squeezer.write(archive, f, content)
}

// numbered tells which of a kind a part is, from 0.
func numbered(name, kind string) (int, bool) {
	digits, ok := strings.CutPrefix(strings.TrimSuffix(name, ".xml"), kind)
	n, err := strconv.Atoi(digits)
	return n - 1, ok && err == nil && n > 0
}

var contentType = regexp.MustCompile(`<(?:Override|Default) [^>]*></(?:Override|Default)>`)

// sorted puts the entries of the content types in order.
func sorted(content []byte) []byte {
	entries := contentType.FindAll(content, -1)
	slices.SortFunc(entries, bytes.Compare)
	i := 0
	return contentType.ReplaceAllFunc(content, func([]byte) []byte { i++; return entries[i-1] })
}
