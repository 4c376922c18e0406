package spectrum

import (
	"bytes"
	"math"
	"math/cmplx"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzRead: never a spectrum together with an error; a spectrum keeps what its type promises; what
// parses, written natively, reads back identical.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		native.text(example()),
		"f/Hz;Z'/mΩ;-Z''/mΩ\n1000;38,5;0,1\n100;40;1\n10;41;2\n",
		"frequency_hz\t|Z| (ohm)\tphase (deg)\r\n1\t2\t-30\r\n0.5\t2\t-20\r\n0.1\t3\t-10\r\n",
		"sep=;\n# a\n\"freq\"\"\";Z',ohm;Zim\n1;2;3\n",
		"Freq,R,X\n3,1,-1\n2,1,-1\n1,1,-1\n",
		"\xFF\xFEf\x00,\x00Z\x00",
	} {
		f.Add([]byte(text), "", "", "", "")
	}
	f.Add([]byte("Freq,R,X\n3,1,-1\n2,1,-1\n1,1,-1\n"), "Freq", "R", "mohm", "-")
	f.Add(workbook(f, false, []any{"frequency_hz", "z_real_ohm", "z_imag_ohm"}, []any{3, 1, -1}, []any{2, 1, -1}, []any{1, 1, -1}), "", "", "", "")
	f.Fuzz(func(t *testing.T, data []byte, frequency, first, unit, sign string) {
		s, err := Read("a.csv", data, Columns{Frequency: frequency, Real: first, Magnitude: first, Unit: unit, ImaginarySign: sign})
		if err != nil {
			checkErrors(t, err)
			if s != nil {
				t.Fatalf("%+v together with %v", s, err)
			}
			return
		}
		checkSpectrum(t, s)
		var b bytes.Buffer
		if err := Write(&b, s); err != nil {
			t.Fatal(err)
		}
		again, err := ReadFixture("a.csv", b.Bytes(), Columns{})
		if err != nil {
			t.Fatalf("%s\nfrom %q does not read back: %v", b.String(), data, err)
		}
		if !slices.Equal(again.Frequency, s.Frequency) || !slices.Equal(again.Impedance, s.Impedance) {
			t.Fatalf("%+v reads back as %+v", s, again)
		}
	})
}

func checkErrors(t *testing.T, err error) {
	t.Helper()
	faults, ok := err.(Errors)
	if !ok || len(faults) == 0 || len(faults) > listedFaults+1 {
		t.Fatalf("%T of %d faults", err, len(faults))
	}
	for _, e := range faults {
		if e.File != "a.csv" || e.Message == "" || e.Line < 0 || e.Column < 0 || len(e.Error()) > 4000 {
			t.Fatalf("fault %+v", e)
		}
	}
}

func checkSpectrum(t *testing.T, s *Spectrum) {
	t.Helper()
	if len(s.Frequency) < fewestFrequencies || len(s.Frequency) > mostPoints || len(s.Impedance) != len(s.Frequency) || len(s.Line) != len(s.Frequency) {
		t.Fatalf("lengths of %+v", s)
	}
	for i, f := range s.Frequency {
		size := cmplx.Abs(s.Impedance[i])
		switch {
		case !(f >= leastFrequency && f <= mostFrequency), !(size >= leastImpedance && size <= mostImpedance):
			t.Fatalf("point %d of %+v is out of bounds", i, s)
		case i > 0 && f > s.Frequency[i-1], i > 0 && f == s.Frequency[i-1] && s.Line[i] < s.Line[i-1]:
			t.Fatalf("point %d of %+v is out of order", i, s)
		case s.Line[i] < 2:
			t.Fatalf("point %d of %+v has no line", i, s)
		}
	}
}

// FuzzReadTable: never a table together with an error; every row is as wide as the header, and its
// cells are trimmed, within bounds and in order of place; numbers are finite.
func FuzzReadTable(f *testing.F) {
	f.Add([]byte("cell,file\n\"a,\"\"b\",\"c\nd\"\n#no\n e ,\n"))
	f.Add([]byte("cell;temp\r\nx;1,5\r;\n"))
	f.Add(workbook(f, true, []any{"cell", "date"}, []any{"#x"}, []any{nil, formatted{41000.5, "d.m.yy"}}, []any{1.5, "a"}))
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := ReadTable("a.csv", data)
		if err != nil {
			checkErrors(t, err)
			if table != nil {
				t.Fatalf("%+v together with %v", table, err)
			}
			return
		}
		checkTable(t, table)
	})
}

func checkTable(t *testing.T, table *Table) {
	t.Helper()
	if len(table.Header) == 0 {
		t.Fatal("no header")
	}
	columns := make([]int, len(table.Header))
	for i := range columns {
		columns[i] = i
	}
	numbers := table.Numbers(columns...)
	last := int(table.Header[0].Line)
	for _, row := range table.Rows {
		if len(row.Cells) != len(table.Header) || row.Line <= last || row.Line != int(row.Cells[0].Line) {
			t.Fatalf("row %+v after line %d under %+v", row, last, table.Header)
		}
		for _, c := range row.Cells {
			if c.Text != strings.TrimSpace(c.Text) || len(c.Text) > maxCellBytes || c.Line < int32(row.Line) || c.Column < 1 {
				t.Fatalf("cell %+v", c)
			}
			if v, err := numbers.Parse(c); math.IsNaN(v) || math.IsInf(v, 0) || err != nil && v != 0 {
				t.Fatalf("cell %+v is read as %v, %v", c, v, err)
			}
		}
		last = row.Line
	}
}

// FuzzWorkbookText: a text in a workbook comes out as it went in, but for blanks around it, and is
// never a date.
func FuzzWorkbookText(f *testing.F) {
	for _, text := range []string{"A 12", "0012", "10.000", "#1", "=1+1", "date", "time 1", " x\ny ", "1e5", "<b>&amp;"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		// XML cannot hold these, and the writing library takes _x0041_ for an escape.
		unfit := strings.ContainsFunc(text, func(r rune) bool { return r < ' ' && r != '\n' || r == utf8.RuneError || r >= 0xFFFE })
		if unfit || !utf8.ValidString(text) || strings.Contains(text, "_x") || len(text) > 1000 {
			t.Skip("no text that a workbook holds")
		}
		table, err := ReadTable("a.csv", workbook(t, false, []any{"cell", "text"}, []any{"x", text}))
		if err != nil {
			t.Fatal(err)
		}
		c := table.Rows[0].Cells[1]
		if want := strings.TrimSpace(text); c.Text != want && c.Kind != Number || c.Kind == Date {
			t.Fatalf("%q: %+v", text, c)
		}
	})
}
