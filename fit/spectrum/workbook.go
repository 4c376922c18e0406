package spectrum

import (
	"bytes"
	"path"
	"strings"
)

// isWorkbook goes by the content (an .xlsx file is a zip archive), then by the name.
func isWorkbook(file string, data []byte) bool {
	return bytes.HasPrefix(data, []byte("PK\x03\x04")) || strings.EqualFold(path.Ext(file), ".xlsx")
}

// readWorkbook reads the first sheet.
func (t *Table) readWorkbook(data []byte) error {
	return t.refusal("workbooks cannot be read yet; delimited text is needed")
}
