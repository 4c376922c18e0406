package xlsx_test

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"ohmledger/report/internal/specimen"
	"ohmledger/report/notation"
)

// tablePart is what a table says of itself (ISO/IEC 29500-1, 18.5.1.2).
type tablePart struct {
	Ref     string `xml:"ref,attr"`
	Name    string `xml:"displayName,attr"`
	Columns []struct {
		Name string `xml:"name,attr"`
	} `xml:"tableColumns>tableColumn"`
}

// TestTablesNameTheirHeads: a table's columns are called as the cells above them, no two alike; programs offer to
// repair a file in which they are not.
func TestTablesNameTheirHeads(t *testing.T) {
	for _, s := range []string{"plain", "two\nlines\tand  blanks ", strings.Repeat("long ", 100), "", "_x0041_"} {
		content := workbook(t, poisoned(s))
		f := opened(t, content)
		for _, sheet := range f.GetSheetList() {
			tables, err := f.GetTables(sheet)
			if err != nil {
				t.Fatal(err)
			}
			for _, table := range tables {
				checkHeads(t, f, sheet, tableOf(t, content, table.Name))
			}
		}
	}
}

func checkHeads(t *testing.T, f *excelize.File, sheet string, table tablePart) {
	t.Helper()
	from, _, _ := strings.Cut(table.Ref, ":")
	column, row, _ := excelize.CellNameToCoordinates(from)
	seen := map[string]bool{}
	for i, c := range table.Columns {
		place, _ := excelize.CoordinatesToCellName(column+i, row)
		if head, _ := f.GetCellValue(sheet, place); head != c.Name || head == "" {
			t.Errorf("%s!%s is %q, its table says %q", sheet, place, head, c.Name)
		}
		if folded := strings.ToLower(c.Name); seen[folded] {
			t.Errorf("%s: two columns are called %q", table.Name, c.Name)
		} else {
			seen[folded] = true
		}
	}
}

func tableOf(t *testing.T, content []byte, name string) tablePart {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range archive.File {
		if !strings.HasPrefix(part.Name, "xl/tables/") {
			continue
		}
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		var table tablePart
		if err := xml.NewDecoder(r).Decode(&table); err != nil {
			t.Fatal(err)
		}
		if table.Name == name {
			return table
		}
	}
	t.Fatalf("there is no table %s", name)
	return tablePart{}
}

// TestHeadsThatRepeatCase: Excel does not tell heads apart by case.
func TestHeadsThatRepeatCase(t *testing.T) {
	a := specimen.Lot(1, 1)
	a.Job.ExtraColumns = []string{"Shelf", "shelf", "SHELF", "cell"}
	f := opened(t, workbook(t, a))
	rows, err := f.GetRows("Results")
	if err != nil {
		t.Fatal(err)
	}
	heads := rows[2][len(rows[2])-4:]
	if got := strings.Join(heads, "|"); got != "Shelf|shelf (2)|SHELF (3)|cell (2)" {
		t.Errorf("%q", got)
	}
}

// A criterion whose uncertainty nobody states shows a dash for what would follow from one, and is decided all the same.
func TestUnstatedUncertaintyIsADash(t *testing.T) {
	f := opened(t, workbook(t, specimen.Assessment(specimen.Rules[1])))
	rows, err := f.GetRows("Criteria")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, row := range rows {
		if !strings.Contains(strings.Join(row, "|"), "apacity retention") || len(row) < 17 || row[3] == "" {
			continue
		}
		seen++
		for _, at := range []int{4, 8, 9, 10, 15} { // u, U, interval, probability
			if row[at] != notation.NotHad {
				t.Errorf("column %d holds %q: %q", at+1, row[at], row)
			}
		}
	}
	if seen == 0 {
		t.Errorf("no capacity retention among %q", rows)
	}
}
