package spectrum

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"github.com/xuri/excelize/v2"
)

// isWorkbook goes by the content (an .xlsx file is a zip archive), then by the name.
func isWorkbook(file string, data []byte) bool {
	return bytes.HasPrefix(data, []byte("PK\x03\x04")) || strings.EqualFold(path.Ext(file), ".xlsx")
}

// parseWorkbook reads the first sheet.
func (t *Table) parseWorkbook(data []byte, most bounds) (found faults) {
	defer func() {
		// The library trusts what a file says of itself; a damaged file must not end the program.
		if fault := recover(); fault != nil {
			found = t.refusal("damaged workbook (%v); an .xlsx workbook or delimited text is needed", fault)
		}
	}()
	f, err := openWorkbook(data, most)
	if err != nil {
		return t.refusal("%s; an .xlsx workbook without password or delimited text is needed", unopened(data, err))
	}
	defer f.Close()
	uncomputed, err := sheetFault(f)
	if err != nil {
		return t.refusal("damaged workbook (%v); an .xlsx workbook or delimited text is needed", err)
	}
	t.Sheet = f.GetSheetName(0)
	if shown, err := f.GetSheetVisible(t.Sheet); err == nil && !shown {
		return t.refusal("the first sheet, %s, is hidden, and the first is the one that is read; it must be shown, deleted, or moved behind the one that counts", quote(t.Sheet))
	}
	if found := t.uncomputed(f, uncomputed); found.count() > 0 {
		t.Header = nil
		return found
	}
	s, err := openSheet(f, t)
	if err != nil {
		return t.refusal("sheet %s: %v; the first sheet must be one of cells", quote(t.Sheet), err)
	}
	t.readRecords(s, most.cells, &s.faults)
	return s.faults
}

// unopened says why a file cannot be opened as a workbook.
func unopened(data []byte, err error) string {
	switch {
	case bytes.HasPrefix(data, []byte("\xD0\xCF\x11\xE0")): // a compound file [MS-CFB 2.2]
		return "a workbook of the older form .xls, or one with a password"
	case !bytes.HasPrefix(data, []byte("PK")):
		return "no workbook, though its name says so"
	case errors.Is(err, errUnpacked):
		return errUnpacked.Error()
	case err == io.EOF:
		return "an archive that holds no workbook"
	}
	return fmt.Sprintf("a workbook that is damaged or not all there (%v)", err)
}

func openWorkbook(data []byte, most bounds) (*excelize.File, error) {
	if err := most.checkZip(data); err != nil {
		return nil, err
	}
	limit := int64(most.unzipped)
	// Equal limits keep the library from writing large parts to temporary files.
	return excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: limit, UnzipXMLSizeLimit: limit})
}
