package spectrum

import (
	"bytes"
	"testing"
)

// sixty is a spectrum of 60 points over six decades.
func sixty() *Spectrum {
	s := &Spectrum{}
	for i := range 60 {
		s.Frequency = append(s.Frequency, []float64{21544.347, 14677.993, 10000, 6812.9207, 4641.5888, 3162.2777}[i%6]/[]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9}[i/6])
		s.Impedance = append(s.Impedance, complex(0.0205178+0.0003*float64(i), -0.0012345-0.00011*float64(i%7)))
	}
	return s
}

func BenchmarkRead(b *testing.B) {
	var file bytes.Buffer
	if err := Write(&file, sixty()); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read("a.csv", file.Bytes(), Columns{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadWorkbook(b *testing.B) {
	rows := [][]any{{"frequency_hz", "z_real_ohm", "z_imag_ohm"}}
	s := sixty()
	for i, z := range s.Impedance {
		rows = append(rows, []any{s.Frequency[i], real(z), imag(z)})
	}
	data := workbook(b, false, rows...)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read("a.xlsx", data, Columns{}); err != nil {
			b.Fatal(err)
		}
	}
}
