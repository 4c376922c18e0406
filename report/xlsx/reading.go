package xlsx

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"ohmledger/report"
)

// File is a report's workbook, read back.
type File struct {
	Sealed  bool   // every part is as it was written
	Results string // SHA-256 of the results.json that it belongs to; blank where it states none
	book    *excelize.File
}

// What a workbook may unpack to: a report's grows some ten times.
const growth, leastRoom = 60, 1 << 20

// Open reads a file. It takes no more memory than a multiple of the file, whatever that says of itself.
func Open(b []byte) (f *File, err error) {
	defer func() {
		// The library trusts what a file says of itself; a damaged file must not end the program.
		if fault := recover(); fault != nil {
			f, err = nil, fmt.Errorf("is a damaged workbook (%v)", fault)
		}
	}()
	archive, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return nil, fmt.Errorf("is no workbook (%w)", err)
	}
	room := int64(len(b))*growth + leastRoom
	if err := unpacks(archive, room); err != nil {
		return nil, err
	}
	f = &File{}
	// Equal limits keep the library from writing large parts to temporary files.
	if f.book, err = excelize.OpenReader(bytes.NewReader(b), excelize.Options{UnzipSizeLimit: room, UnzipXMLSizeLimit: room}); err != nil {
		return nil, fmt.Errorf("cannot be opened as a workbook (%w)", err)
	}
	return f, f.readSeals(b, archive)
}

// unpacks says whether an archive unpacks to no more than it may; what it says of its size may be false.
func unpacks(archive *zip.Reader, room int64) error {
	for _, part := range archive.File {
		r, err := part.Open()
		if err != nil {
			return fmt.Errorf("is a damaged workbook (%w)", err)
		}
		n, err := io.Copy(io.Discard, io.LimitReader(r, room+1))
		if room -= n; err != nil || room < 0 {
			return errors.Join(errors.New("is a damaged workbook, or larger than any when unpacked"), err)
		}
	}
	return nil
}

func (f *File) readSeals(b []byte, archive *zip.Reader) error {
	properties, err := f.book.GetCustomProps()
	if err != nil {
		return nil // then it states none
	}
	for _, p := range properties {
		value, _ := p.Value.(string)
		switch p.Name {
		case digestName:
			f.Results = value
		case sealName:
			f.Sealed = value == sealOf(b, archive)
		}
	}
	return nil
}

// sealOf is the digest of what stands before the part that holds the seal; blank where there is no such part.
func sealOf(b []byte, archive *zip.Reader) string {
	last := archive.File[len(archive.File)-1]
	data, err := last.DataOffset()
	at := data - int64(localHeadSize+len(sealPart))
	if err != nil || last.Name != sealPart || at < 0 || !bytes.HasPrefix(b[at:], []byte("PK\x03\x04")) {
		return ""
	}
	sum := sha256.Sum256(b[:at])
	return fmt.Sprintf("%x", sum)
}

// Compare holds the cells of one workbook against those of another.
func Compare(found, expected *File) (*report.Differences, error) {
	d := &report.Differences{}
	for _, name := range expected.book.GetSheetList() {
		if err := compareSheet(d, name, found.book, expected.book); err != nil {
			return nil, err
		}
	}
	for _, name := range found.book.GetSheetList() {
		if i, err := expected.book.GetSheetIndex(name); err != nil || i < 0 {
			d.Add(name, "a sheet", "")
		}
	}
	return d, nil
}

func compareSheet(d *report.Differences, name string, found, expected *excelize.File) error {
	want, err := expected.Rows(name)
	if err != nil {
		return err
	}
	have, err := found.Rows(name)
	if err != nil {
		d.Add(name, "", "a sheet")
		return nil
	}
	for row := 1; ; row++ {
		more, also := want.Next(), have.Next()
		if !more && !also {
			return nil
		}
		a, errFound := valuesOf(have, also)
		b, errExpected := valuesOf(want, more)
		if err := errors.Join(errFound, errExpected); err != nil {
			return fmt.Errorf("sheet %s: %w", name, err)
		}
		for i := range max(len(a), len(b)) {
			d.Hold(name+"!"+letterOf(i+1)+number(row), nth(a, i), nth(b, i))
		}
	}
}

func valuesOf(rows *excelize.Rows, more bool) ([]string, error) {
	if !more {
		return nil, nil
	}
	return rows.Columns(excelize.Options{RawCellValue: true})
}

func nth(list []string, i int) string {
	if i < len(list) {
		return strings.ReplaceAll(list[i], "\r\n", "\n")
	}
	return ""
}
