package xlsx

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"errors"
	"hash/crc32"
	"io"
)

// part is a file of the archive as the library wrote it.
type part struct {
	name    string
	content bytes.Buffer
}

// epoch is the date of every part in the archive's own form, 1980-01-01: the first that it can hold.
const epoch = 1<<5 | 1

func (f *part) header() *zip.FileHeader {
	h := &zip.FileHeader{Name: f.name, Method: zip.Deflate}
	//lint:ignore SA1019 the archive's own form of a date is written as it is where Modified is not set
	h.ModifiedDate = epoch
	return h
}

// squeezer compresses parts that are in memory, with one compressor for all of them.
type squeezer struct {
	deflate *flate.Writer
	into    bytes.Buffer
}

func newSqueezer() *squeezer {
	s := &squeezer{}
	s.deflate, _ = flate.NewWriter(&s.into, flate.DefaultCompression) // errs for impossible levels only
	return s
}

// write compresses a part whole, so that its size and checksum stand before it.
func (s *squeezer) write(archive *zip.Writer, f *part, content []byte) error {
	s.into.Reset()
	s.deflate.Reset(&s.into)
	_, _ = s.deflate.Write(content) // into memory
	_ = s.deflate.Close()
	header := f.header()
	header.CRC32, header.CompressedSize64, header.UncompressedSize64 = crc32.ChecksumIEEE(content), uint64(s.into.Len()), uint64(len(content))
	w, err := archive.CreateRaw(header)
	if err != nil {
		return err
	}
	_, err = s.into.WriteTo(w)
	return err
}

var (
	sheetData    = []byte(`<sheetData>`)
	sheetDataEnd = []byte(`</sheetData>`)
)

// writeAround writes a sheet with its rows in place of those that the library holds, as they come.
func (f *part) writeAround(archive *zip.Writer, s *sheet) error {
	content := f.content.Bytes()
	from, to := bytes.Index(content, sheetData)+len(sheetData), bytes.Index(content, sheetDataEnd)
	if to < from {
		return errors.New("xlsx: the sheet " + f.name + " has no place for rows")
	}
	w, err := archive.CreateHeader(f.header())
	if err != nil {
		return err
	}
	_, before := w.Write(content[:from])
	among := s.writeRows(w)
	_, after := w.Write(content[to:])
	return errors.Join(before, among, after)
}

// writeRows writes what the sheet was given to write.
func (s *sheet) writeRows(w io.Writer) error {
	r := &rows{out: w}
	for _, write := range s.pending {
		write(r)
	}
	s.pending = nil
	return errors.Join(r.err, s.err)
}
