package spectrum

import "testing"

func TestReadTable(t *testing.T) {
	table, err := ReadTable("a.csv", []byte("# made up\ncell;file;temperature_c\nA1;\"x;\"\"y\";25,5\n\nA2;z\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Header) != 3 || len(table.Rows) != 2 || table.Rows[1].Line != 5 {
		t.Fatalf("%+v", table)
	}
	if got := table.Rows[0].Cells[1]; got != (Cell{Text: `x;"y`, Line: 3, Column: 4}) {
		t.Errorf("quoted cell: %+v", got)
	}
	if v, err := table.Numbers(2).Parse(table.Rows[0].Cells[2]); v != 25.5 || err != nil {
		t.Errorf("temperature: %v, %v", v, err)
	}
	if !table.Rows[1].Cells[2].Blank() {
		t.Error("missing cell is not blank")
	}
}
