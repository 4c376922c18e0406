package spectrum

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// workbook makes an .xlsx file whose first sheet holds the rows.
func workbook(t testing.TB, date1904 bool, rows ...[]any) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &date1904}); err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		for j, value := range row {
			setCell(t, f, i+1, j+1, value)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// formatted is a cell value with a number format of its own.
type formatted struct {
	value any
	code  string
}

func setCell(t testing.TB, f *excelize.File, row, column int, value any) {
	name, _ := excelize.CoordinatesToCellName(column, row)
	if v, ok := value.(formatted); ok {
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &v.code})
		if err != nil {
			t.Fatal(err)
		}
		if err := f.SetCellStyle("Sheet1", name, name, style); err != nil {
			t.Fatal(err)
		}
		value = v.value
	}
	if value == nil {
		return
	}
	if err := f.SetCellValue("Sheet1", name, value); err != nil {
		t.Fatal(err)
	}
}

// Serial numbers of dates: ISO/IEC 29500-1 (ECMA-376) 18.17.4.1, examples for both date systems; the
// last two of the 1900 system are computed.
func TestSpreadsheetDates(t *testing.T) {
	for _, test := range []struct {
		serial   float64
		date1904 bool
		want     string
	}{
		{1, false, "1900-01-01"},
		{59, false, "1900-02-28"},
		{61, false, "1900-03-01"},
		{3687, false, "1910-02-03"},
		{38749, false, "2006-02-01"},
		{2958465, false, "9999-12-31"},
		{2225, true, "1910-02-03"},
		{37287, true, "2006-02-01"},
		{2957003, true, "9999-12-31"},
		{3687.4207639, false, "1910-02-03T10:05:54"},
		{45351, false, "2024-02-29"},
	} {
		for _, code := range []string{"yyyy-mm-dd", "d. mmmm yyyy", `[$-407]dd/mm/yyyy hh:mm;@`} {
			data := workbook(t, test.date1904, []any{"cell", "measured_at"}, []any{"A", formatted{test.serial, code}})
			table, err := ReadTable("m.xlsx", data)
			if err != nil {
				t.Fatal(err)
			}
			c := table.Rows[0].Cells[1]
			date, ok := c.Date()
			if c.Text != test.want || !ok || isoDate(date) != test.want {
				t.Errorf("%v (1904: %v) shown as %s: %+v, want %s", test.serial, test.date1904, code, c, test.want)
			}
		}
	}
}

// Every second of a day survives a sheet's 15 digits.
func TestSpreadsheetTimes(t *testing.T) {
	day := time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)
	for second := range 24 * 60 * 60 {
		want := day.Add(time.Duration(second) * time.Second)
		if got, ok := dateOf(46095+float64(second)/86400, false); !ok || !got.Equal(want) {
			t.Fatalf("second %d: %v, want %v", second, got, want)
		}
	}
}

func TestWorkbookCells(t *testing.T) {
	for name, test := range map[string]struct {
		value any
		want  Cell
	}{
		"number":          {0.0385, Cell{Text: "0.0385", Kind: Number, Number: 0.0385}},
		"small number":    {0.0000385, Cell{Text: "0.0000385", Kind: Number, Number: 0.0000385}},
		"label of digits": {"0012", Cell{Text: "0012"}},
		"plain text":      {" A 12 ", Cell{Text: "A 12"}},
		"padded number":   {formatted{7, "000"}, Cell{Text: "007", Kind: Number, Number: 7}},
		"with unit":       {formatted{25.0, `0.0" °C"`}, Cell{Text: "25.0 °C", Kind: Number, Number: 25}},
		"thousands":       {formatted{10000, "#,##0"}, Cell{Text: "10,000", Kind: Number, Number: 10000}},
		"grouped text":    {"10.000", Cell{Text: "10.000"}},
		"percent":         {formatted{0.5, "0%"}, Cell{Text: "50%"}},
		"time of day":     {formatted{0.5, "hh:mm"}, Cell{Text: "12:00:00"}},
		"hours":           {formatted{1.25, "[h]:mm"}, Cell{Text: "30:00:00"}},
		"truth":           {true, Cell{Text: "TRUE"}},
		"date text":       {formatted{"soon", "yyyy-mm-dd"}, Cell{Text: "soon"}},
		"no date":         {formatted{-5, "yyyy-mm-dd"}, Cell{Text: "-5", Kind: Number, Number: -5}},
		"hidden":          {formatted{5, ";;;"}, Cell{Text: "5", Kind: Number, Number: 5}},
		"error":           {"#DIV/0!", Cell{Text: "#DIV/0!"}},
	} {
		t.Run(name, func(t *testing.T) {
			table, err := ReadTable("m.xlsx", workbook(t, false, []any{"cell", "b"}, nil, []any{"A", test.value}))
			if err != nil {
				t.Fatal(err)
			}
			test.want.Line, test.want.Column = 3, 2
			if got := table.Rows[0].Cells[1]; got != test.want {
				t.Errorf("%+v, want %+v", got, test.want)
			}
		})
	}
}

// altered makes a workbook of two sheets, as a program writes it that does not calculate.
func altered(t *testing.T, alter func(f *excelize.File) error) []byte {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(workbook(t, false, []any{"cell", "sensing"}, []any{"A", "4-wire"})))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	_, err = f.NewSheet("second")
	if err := errors.Join(err, f.SetCellValue("second", "A1", "x"), alter(f)); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// What is in a workbook and would not be read must not be taken for blank, or for what is read.
func TestWorkbookThatShowsOtherThanItHolds(t *testing.T) {
	for name, c := range map[string]struct {
		alter func(f *excelize.File) error
		want  string
	}{
		"plain":               {func(*excelize.File) error { return nil }, ""},
		"first sheet hidden":  {func(f *excelize.File) error { f.SetActiveSheet(1); return f.SetSheetVisible("Sheet1", false) }, `m.xlsx: the first sheet, "Sheet1", is hidden`},
		"second sheet hidden": {func(f *excelize.File) error { return f.SetSheetVisible("second", false) }, ""},
		"formula without value": {func(f *excelize.File) error {
			return errors.Join(f.SetCellValue("Sheet1", "B2", nil), f.SetCellFormula("Sheet1", "B2", `"2-"&"wire"`))
		}, `m.xlsx:2:2: a formula that was never calculated, ="2-"&"wire"`},
		"in the second sheet": {func(f *excelize.File) error { return f.SetCellFormula("second", "B2", "1+1") }, ""},
		"formula with value":  {func(f *excelize.File) error { return f.SetCellFormula("Sheet1", "B2", `"4-wire"`) }, ""},
	} {
		_, err := ReadTable("m.xlsx", altered(t, c.alter))
		if (err == nil) != (c.want == "") || err != nil && !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}
