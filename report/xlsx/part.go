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

// squeezed is what a part becomes: compressed data with size and checksum of what went in.
type squeezed struct {
	compressed bytes.Buffer
	crc        uint32
	size       uint64
}

// count takes account of data that are compressed, or already are.
func (z *squeezed) count(b []byte) {
	z.crc = crc32.Update(z.crc, crc32.IEEETable, b)
	z.size += uint64(len(b))
}

// squeeze compresses; what is not last ends so that other compressed data can follow.
func (z *squeezed) squeeze(b []byte, last bool) {
	z.count(b)
	w, _ := flate.NewWriter(&z.compressed, flate.DefaultCompression) // errs for impossible levels only
	_, _ = w.Write(b)                                                // into memory
	if last {
		_ = w.Close()
	} else {
		_ = w.Flush()
	}
}

func (f *part) write(archive *zip.Writer, content []byte) error {
	var z squeezed
	z.squeeze(content, true)
	return f.store(archive, &z, nil)
}

var (
	sheetData    = []byte(`<sheetData>`)
	sheetDataEnd = []byte(`</sheetData>`)
)

// writeAround writes a sheet with the rows in place of those that the library holds. Blocks of compressed data can
// stand one after the other (RFC 1951, 2.3), so the rows are not compressed again; they are read for the checksum only.
func (f *part) writeAround(archive *zip.Writer, r *rows) error {
	content := f.content.Bytes()
	from, to := bytes.Index(content, sheetData)+len(sheetData), bytes.Index(content, sheetDataEnd)
	if to < from {
		return errors.New("xlsx: the sheet " + f.name + " has no place for rows")
	}
	var head, tail squeezed
	head.squeeze(content[:from], false)
	if err := r.checksum(&head); err != nil {
		return err
	}
	tail.crc, tail.size = head.crc, head.size
	tail.squeeze(content[to:], true)
	return f.store(archive, &tail, []*bytes.Buffer{&head.compressed, &r.compressed})
}

// checksum counts the rows in.
func (r *rows) checksum(z *squeezed) error {
	plain, chunk := flate.NewReader(bytes.NewReader(r.compressed.Bytes())), make([]byte, 1<<16)
	for {
		n, err := plain.Read(chunk)
		z.count(chunk[:n])
		switch {
		case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF): // the last block is the tail's
			return nil
		case err != nil:
			return err
		}
	}
}

// store writes a part: what comes before, then the rest, which carries size and checksum of all.
func (f *part) store(archive *zip.Writer, z *squeezed, before []*bytes.Buffer) error {
	size := z.compressed.Len()
	for _, b := range before {
		size += b.Len()
	}
	header := &zip.FileHeader{Name: f.name, Method: zip.Deflate, CRC32: z.crc, CompressedSize64: uint64(size), UncompressedSize64: z.size}
	//lint:ignore SA1019 CreateRaw writes this field as it is and takes no account of Modified
	header.ModifiedDate = epoch
	w, err := archive.CreateRaw(header)
	if err != nil {
		return err
	}
	for _, b := range append(before, &z.compressed) {
		if _, err := b.WriteTo(w); err != nil {
			return err
		}
	}
	return nil
}
