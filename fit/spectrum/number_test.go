package spectrum

import "testing"

func TestNumbers(t *testing.T) {
	for _, test := range []struct {
		text, other string // the cell, and another of the same columns
		want        float64
		message     string
	}{
		{"1000", "", 1000, ""},
		{"-0.5", "", -0.5, ""},
		{"+0,5", "", 0.5, ""},
		{"−3,5E−2", "", -0.035, ""},
		{".5", "", 0.5, ""},
		{"5.", "", 5, ""},
		{"1e3", "", 1000, ""},
		{"1.234", "", 1.234, ""},
		{"1,234", "", 1.234, ""},
		{"1,234", "0,5", 1.234, ""},
		{"0.234", "0,5", 0.234, ""},   // a leading zero is no group of thousands
		{"1.2345", "0,5", 1.2345, ""}, // nor are four digits
		{"1.234", "0,5", 0, `"1.234" may mean a fraction or thousands, since decimal points and decimal commas both occur; one of them is needed throughout`},
		{"1,234", "0.5", 0, `"1,234" may mean a fraction or thousands, since decimal points and decimal commas both occur; one of them is needed throughout`},
		{"1.234,5", "", 0, `"1.234,5" where a number is needed`},
		{"1_000", "", 0, `"1_000" where a number is needed`},
		{"0x1p3", "", 0, `"0x1p3" where a number is needed`},
		{"Infinity", "", 0, `"Infinity" where a number is needed`},
		{"nan", "", 0, `"nan" where a number is needed`},
		{"1e", "", 0, `"1e" where a number is needed`},
		{"e5", "", 0, `"e5" where a number is needed`},
		{"--1", "", 0, `"--1" where a number is needed`},
		{".", "", 0, `"." where a number is needed`},
		{"-", "", 0, `"-" where a number is needed`},
		{"", "", 0, `blank where a number is needed`},
		{"٣", "", 0, `"٣" where a number is needed`},
		{"1e999", "", 0, `"1e999" is beyond the range of numbers`},
	} {
		table, err := ReadTable("a.csv", []byte("label;a;b\n3.1;"+test.text+";"+test.other+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		got, err := table.Numbers(1, 2).Parse(table.Rows[0].Cells[1])
		message := ""
		if err != nil {
			message = err.Error()
		}
		if got != test.want || message != test.message {
			t.Errorf("%q beside %q: %v, %s; want %v, %s", test.text, test.other, got, message, test.want, test.message)
		}
	}
}

func TestNumbersOfWorkbook(t *testing.T) {
	table, err := ReadTable("a.xlsx", workbook(t, false, []any{"a", "b", "c"}, []any{0.1, formatted{45351, "d.m.yyyy"}, "1,5"}, []any{1.234, "10.000"}))
	if err != nil {
		t.Fatal(err)
	}
	numbers := table.Numbers(0, 1, 2)
	for _, test := range []struct {
		cell    Cell
		want    float64
		message string
	}{
		{table.Rows[0].Cells[0], 0.1, ""},
		{table.Rows[0].Cells[1], 0, "the date 2024-02-29 where a number is needed"},
		{table.Rows[0].Cells[2], 1.5, ""},
		{table.Rows[1].Cells[0], 1.234, ""},
		{table.Rows[1].Cells[1], 0, `"10.000" may mean a fraction or thousands, since decimal points and decimal commas both occur; one of them is needed throughout`},
		{table.Rows[1].Cells[2], 0, "blank where a number is needed"},
	} {
		got, err := numbers.Parse(test.cell)
		if message := ""; got != test.want || err != nil && err.Error() != test.message || err == nil && message != test.message {
			t.Errorf("%+v: %v, %v; want %v, %s", test.cell, got, err, test.want, test.message)
		}
	}
}

func TestNearest(t *testing.T) {
	known := []string{"frequency_hz", "z_real_ohm", "z_imag_ohm", "cell", "file"}
	for word, want := range map[string]string{
		"frequncy_hz": "frequency_hz", "Z_REAL_OHM": "z_real_ohm", "z_iamg_ohm": "z_imag_ohm", "cel": "cell", "flie": "file",
		"temperature": "", "": "", "x": "", "cell": "cell", "fehl": "",
	} {
		if got := Nearest(word, known); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
}

// Distances of the words that Levenshtein's distance is usually shown with (common practice), and of a
// swap, which is one edit here.
func TestDistance(t *testing.T) {
	for _, test := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"", "abc", 3}, {"ca", "ac", 1}, {"ca", "abc", 3}, {"Ω", "", 1}} {
		if got := distance(test.a, test.b); got != test.want {
			t.Errorf("%q to %q: %d, want %d", test.a, test.b, got, test.want)
		}
		if got := distance(test.b, test.a); got != test.want {
			t.Errorf("%q to %q: %d, want %d", test.b, test.a, got, test.want)
		}
	}
}
