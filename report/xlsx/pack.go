package xlsx

import (
	"archive/zip"
	"bytes"
	"cmp"
	"crypto/sha256"
	"io"
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// pack is the archive of a workbook. The library writes its parts in random order, without the rows and with
// charts that lack what it has no words for; the pack adds and mends them, sorts the parts and dates them all alike.
type pack struct {
	w     io.Writer
	rows  []*rows // of the sheets, in their order
	axes  []axes  // of the charts, in their order
	parts []*part
}

func newPack(w io.Writer, r []*rows, a []axes) *pack { return &pack{w: w, rows: r, axes: a} }

const (
	contentTypes = "[Content_Types].xml"
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

// Close writes the archive. The part with the seal comes last, since it seals what stands before it.
func (p *pack) Close() error {
	slices.SortFunc(p.parts, func(a, b *part) int {
		return cmp.Or(cmp.Compare(rank(a.name), rank(b.name)), strings.Compare(a.name, b.name))
	})
	sum := sha256.New()
	archive := zip.NewWriter(io.MultiWriter(p.w, sum))
	for _, f := range p.parts {
		if f.name == sealPart {
			if err := f.seal(archive, sum); err != nil {
				return err
			}
		}
		if err := p.write(archive, f); err != nil {
			return err
		}
	}
	return archive.Close()
}

func rank(name string) int {
	if name == sealPart {
		return 1
	}
	return 0
}

func (p *pack) write(archive *zip.Writer, f *part) error {
	if i, ok := numbered(f.name, sheetPart); ok && i < len(p.rows) {
		return f.writeAround(archive, p.rows[i])
	}
	content := f.content.Bytes()
	if f.name == contentTypes {
		content = sorted(content)
	}
	if i, ok := numbered(f.name, chartPart); ok && i < len(p.axes) {
		content = p.axes[i].mend(content)
	}
	if _, ok := numbered(f.name, drawingPart); ok {
		content = sized(content)
	}
	return f.write(archive, content)
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
