package xlsx

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"hash/crc32"
	"io"
	"io/fs"
	"regexp"
	"slices"
	"strings"
)

// pack is the archive of a workbook. The library writes its parts in random order and with charts that lack
// what it has no words for; the pack mends them, sorts them and dates them all alike.
type pack struct {
	w     io.Writer
	axes  []axes // of the charts, in their order
	parts []*part
}

// part is a file of the archive: compressed as it comes, or kept whole where it has to be mended.
type part struct {
	name       string
	whole      *bytes.Buffer
	compressed bytes.Buffer
	deflate    *flate.Writer
	crc        uint32
	size       uint64
}

func newPack(w io.Writer, a []axes) *pack { return &pack{w: w, axes: a} }

const (
	contentTypes = "[Content_Types].xml"
	chartParts   = "xl/charts/chart"
)

// Create begins a part.
func (p *pack) Create(name string) (io.Writer, error) {
	f := &part{name: name}
	if name == contentTypes || strings.HasPrefix(name, chartParts) {
		f.whole = &bytes.Buffer{}
		p.parts = append(p.parts, f)
		return f.whole, nil
	}
	p.parts = append(p.parts, f)
	return f, nil
}

// AddFS is asked of archives, but no workbook is made of a folder.
func (p *pack) AddFS(fs.FS) error { panic("xlsx: a workbook is not made of a folder") }

// Write compresses.
func (f *part) Write(b []byte) (int, error) {
	if f.deflate == nil {
		f.deflate, _ = flate.NewWriter(&f.compressed, flate.DefaultCompression) // errs for impossible levels only
	}
	f.crc = crc32.Update(f.crc, crc32.IEEETable, b)
	f.size += uint64(len(b))
	return f.deflate.Write(b)
}

// Close writes the archive.
func (p *pack) Close() error {
	slices.SortFunc(p.parts, func(a, b *part) int { return strings.Compare(a.name, b.name) })
	archive := zip.NewWriter(p.w)
	for _, f := range p.parts {
		if f.whole != nil {
			if _, err := f.Write(p.mended(f.name, f.whole.Bytes())); err != nil {
				return err
			}
		}
		if err := f.writeTo(archive); err != nil {
			return err
		}
	}
	return archive.Close()
}

// epoch is the date of every part in the archive's own form, 1980-01-01: the first that it can hold.
const epoch = 1<<5 | 1

func (f *part) writeTo(archive *zip.Writer) error {
	if f.deflate == nil {
		if _, err := f.Write(nil); err != nil {
			return err
		}
	}
	if err := f.deflate.Close(); err != nil {
		return err
	}
	header := &zip.FileHeader{Name: f.name, Method: zip.Deflate, CRC32: f.crc,
		CompressedSize64: uint64(f.compressed.Len()), UncompressedSize64: f.size}
	//lint:ignore SA1019 CreateRaw writes this field as it is and takes no account of Modified
	header.ModifiedDate = epoch
	w, err := archive.CreateRaw(header)
	if err != nil {
		return err
	}
	_, err = f.compressed.WriteTo(w)
	return err
}

func (p *pack) mended(name string, content []byte) []byte {
	if name == contentTypes {
		return sorted(content)
	}
	n := 0
	for _, digit := range strings.TrimSuffix(strings.TrimPrefix(name, chartParts), ".xml") {
		n = 10*n + int(digit-'0')
	}
	if n < 1 || n > len(p.axes) {
		return content
	}
	return p.axes[n-1].mend(content)
}

var contentType = regexp.MustCompile(`<(?:Override|Default) [^>]*></(?:Override|Default)>`)

// sorted puts the entries of the content types in order.
func sorted(content []byte) []byte {
	entries := contentType.FindAll(content, -1)
	slices.SortFunc(entries, bytes.Compare)
	entries = slices.Clone(entries)
	i := 0
	return contentType.ReplaceAllFunc(content, func([]byte) []byte { i++; return entries[i-1] })
}
