package spectrum

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// sheetFault reads every sheet as XML, since the library takes the first fault in it for the end, and gathers the references of the
// cells, of any sheet, that have a formula and no value.
func sheetFault(f *excelize.File) (uncomputed []string, fault error) {
	f.Pkg.Range(func(name, part any) bool {
		if strings.HasPrefix(strings.ToLower(name.(string)), "xl/worksheets/sheet") {
			cells, err := readSheetPart(f, part.([]byte))
			uncomputed, fault = append(uncomputed, cells...), errors.Join(fault, err)
		}
		return fault == nil
	})
	slices.Sort(uncomputed)
	return slices.Compact(uncomputed), fault
}

// readSheetPart stops at the first fault.
func readSheetPart(f *excelize.File, part []byte) (uncomputed []string, err error) {
	d := xml.NewDecoder(bytes.NewReader(part))
	d.CharsetReader = f.CharsetReader
	var c formulaCell
	for {
		token, err := d.Token()
		if err == io.EOF {
			return uncomputed, nil
		} else if err != nil {
			return nil, err
		}
		if c.see(token) && len(uncomputed) < keptFaults {
			uncomputed = append(uncomputed, c.reference)
		}
	}
}

// formulaCell follows the elements of a sheet: c, a cell, with f, its formula, and v, its value (ISO/IEC 29500-1, 18.3.1.4, 18.3.1.40
// and 18.3.1.96). A text that a formula gave, t="str", may be empty where a v says so.
type formulaCell struct {
	reference, element   string
	text, formula, value bool
}

// see reports whether a cell ends with the token that has a formula and no value: a program wrote it that does not calculate.
func (c *formulaCell) see(token xml.Token) bool {
	switch token := token.(type) {
	case xml.StartElement:
		c.element = token.Name.Local
		switch c.element {
		case "c":
			*c = formulaCell{element: "c"}
			for _, a := range token.Attr {
				switch a.Name.Local {
				case "r":
					c.reference = a.Value
				case "t":
					c.text = a.Value == "str"
				}
			}
		case "f":
			c.formula = true
		case "v":
			c.value = c.text
		}
	case xml.CharData:
		c.value = c.value || c.element == "v" && len(bytes.TrimSpace(token)) > 0
	case xml.EndElement:
		c.element = ""
		return token.Name.Local == "c" && c.formula && !c.value
	}
	return false
}

// uncomputed are the faults of the cells of the sheet that is read, of those whose formula has no value: they would be taken for blank.
func (t *Table) uncomputed(f *excelize.File, references []string) (found faults) {
	for _, reference := range references {
		formula, err := f.GetCellFormula(t.Sheet, reference)
		if err != nil || formula == "" {
			continue
		}
		if value, err := f.GetCellValue(t.Sheet, reference); err != nil || value != "" {
			continue
		}
		column, line, _ := excelize.CellNameToCoordinates(reference)
		found.add(t.Fault(Cell{Line: int32(line), Column: int32(column)}, "a formula that was never calculated, =%s; a value is needed: open the workbook in a spreadsheet program and save it", formula))
	}
	return found
}
