//go:build linux || darwin

package main

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/xuri/excelize/v2"
)

// generated are malformed inputs that are too large or too binary to be written down.
func generated() []spoiling {
	table := "cell,file,measured_at,temperature_c\n"
	spectrum := "frequency_hz,z_real_ohm,z_imag_ohm\n"
	row := "A1,spectra/A1_new.csv,2026-01-01,25\n"
	list := []spoiling{
		one("job.yaml is larger than any", inPlace("job.yaml", strings.Repeat("# a comment that goes on\n", 50_000))),
		one("job.yaml is one endless line", inPlace("job.yaml", "report: {title: "+strings.Repeat("x", 1<<20-40)+"}\n")),
		one("job.yaml has endless keys", inPlace("job.yaml", keys(60_000))),
		one("job.yaml has endless brackets", inPlace("job.yaml", "limits: "+strings.Repeat("[", 100_000))),
		one("job.yaml has endless braces", inPlace("job.yaml", "limits: "+strings.Repeat("{a: ", 100_000))),
		one("job.yaml has endless dashes", inPlace("job.yaml", "limits: \n"+strings.Repeat("- ", 100_000))),
		one("job.yaml has endless levels", inPlace("job.yaml", levels(1000))),
		one("job.yaml has endless blank lines", inPlace("job.yaml", strings.Repeat("\n", 1<<19))),
		one("job.yaml has endless colons", inPlace("job.yaml", strings.Repeat(": ", 1<<18))),
		one("job.yaml has endless quotations", inPlace("job.yaml", "report: "+strings.Repeat("'", 1<<19)+"\n")),
		one("job.yaml grows by aliases", inPlace("job.yaml", aliases(9))),
		one("job.yaml has ten thousand faults", inPlace("job.yaml", keys(1900))),
		one("job.yaml has a number of a million digits", replaced("job.yaml", "nominal_capacity_ah: 2.6", "nominal_capacity_ah: "+strings.Repeat("9", 900_000))),
		one("job.yaml names a path of a million characters", replaced("job.yaml", "wording: words", "wording: "+strings.Repeat("a/", 450_000))),

		one("the table is larger than any", large("measurements.csv", 64<<20+1)),
		one("the table is one endless line", inPlace("measurements.csv", strings.Repeat("x", 8<<20))),
		one("the table has endless columns", inPlace("measurements.csv", strings.Repeat("a,", 4<<20))),
		one("the table has endless rows", inPlace("measurements.csv", table+strings.Repeat("\"\"\"\",,,\n", 2<<20))),
		one("the table has a cell of a megabyte", inPlace("measurements.csv", table+"\""+strings.Repeat("x\n", 1<<19)+"\",,,\n")),
		one("the table has ten thousand faults", inPlace("measurements.csv", table+strings.Repeat(",x,y,z\n", 10_000))),
		one("the table names one spectrum endlessly", inPlace("measurements.csv", table+strings.Repeat(row, 50_000))),
		one("the table has quotations without end", inPlace("measurements.csv", table+strings.Repeat("\"", 1<<20))),
		one("the table has endless quotations that are told apart", inPlace("measurements.csv", table+strings.Repeat("\"a\"b,", 1<<20))),
		one("the table has endless comments", inPlace("measurements.csv", strings.Repeat("#\n", 8<<20))),
		one("the table is full of separators", inPlace("measurements.csv", table+strings.Repeat(";\t,", 4<<20))),
		one("the table names a path of thirty thousand characters", inPlace("measurements.csv", table+"A1,"+strings.Repeat("a/", 15_000)+"x.csv,2026-01-01,25\n")),
		one("the table names folders without end", inPlace("measurements.csv", table+paths(20_000))),

		one("a spectrum is larger than any", large("spectra/A1_new.csv", 16<<20+1)),
		one("a spectrum is one endless line", inPlace("spectra/A1_new.csv", strings.Repeat("1", 16<<20))),
		one("a spectrum has endless points", inPlace("spectra/A1_new.csv", spectrum+strings.Repeat("1,2,3\n", 1<<20))),
		one("a spectrum is a record over time", inPlace("spectra/A1_new.csv", spectrum+strings.Repeat("1,2,-3\n2,2,-3\n3,2,-3\n", 40_000))),
		one("a spectrum has endless columns", inPlace("spectra/A1_new.csv", strings.Repeat("z_real_ohm,", 1<<20))),
		one("a spectrum has a hundred thousand faults", inPlace("spectra/A1_new.csv", spectrum+strings.Repeat("x,y,z\n", 100_000))),
		one("a spectrum has a number of a million digits", inPlace("spectra/A1_new.csv", spectrum+strings.Repeat("9", 1<<20)+",1,-1\n")),

		one("the logo claims to be huge", inPlace("logo.png", hugePicture())),
		one("the logo is cut off", cut("logo.png", 60)),
		one("the logo is a head alone", cut("logo.png", 33)),
		one("the logo is a picture of another kind", inPlace("logo.png", "GIF89a\x01\x00\x01\x00\x80\x00\x00\x00\x00\x00\xff\xff\xff,\x00\x00\x00\x00\x01\x00\x01\x00\x00\x02\x02D\x01\x00;")),
		one("the logo is larger than any", large("logo.png", mostLogoBytes+1)),

		one("sentences are larger than any", large("words/own.tmpl", 32<<20)),
	}
	return append(list, workbooks()...)
}

func one(name string, s step) spoiling { return spoiling{name, []step{s}} }

func keys(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString("key" + strings.Repeat("x", i%7) + string(rune('a'+i%26)) + string(rune('a'+i/26%26)) + string(rune('a'+i/676%26)) + ": 1\n")
	}
	return b.String()
}

func levels(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

// aliases grow tenfold on every line.
func aliases(n int) string {
	b := "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n"
	for i := 1; i <= n; i++ {
		last := "*a" + string(rune('0'+i-1))
		b += "a" + string(rune('0'+i)) + ": &a" + string(rune('0'+i)) + " [" + strings.Repeat(last+", ", 9) + last + "]\n"
	}
	return b
}

func paths(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString("A1," + strings.Repeat("d", i%200+1) + "/" + string(rune('a'+i%26)) + string(rune('a'+i/26%26)) + string(rune('a'+i/676%26)) + ".csv,2026-01-01,25\n")
	}
	return b.String()
}

// large is a file of so many bytes that takes no room on the disk.
func large(file string, size int64) step {
	return func(bench string) error { return os.Truncate(filepath.Join(bench, file), size) }
}

// cut leaves the first bytes of a file.
func cut(file string, size int64) step { return large(file, size) }

// hugePicture is a PNG that says it is 100,000 pixels wide and high.
func hugePicture() string {
	var b bytes.Buffer
	b.WriteString("\x89PNG\r\n\x1a\n")
	head := []byte("IHDR\x00\x01\x86\xa0\x00\x01\x86\xa0\x08\x02\x00\x00\x00")
	binary.Write(&b, binary.BigEndian, uint32(len(head)-4))
	b.Write(head)
	binary.Write(&b, binary.BigEndian, crc32.ChecksumIEEE(head))
	return b.String()
}

// workbooks are faults of .xlsx files, as table and as spectrum.
func workbooks() []spoiling {
	list := []spoiling{
		book("a workbook is cut off", func() []byte { b := sheet(nil); return b[:len(b)/2] }),
		book("a workbook lacks its directory", func() []byte { b := sheet(nil); return b[:len(b)-60] }),
		book("a workbook is an archive of other things", func() []byte { return archive(map[string]string{"readme.txt": "hello"}) }),
		book("a workbook is an empty archive", func() []byte { return archive(nil) }),
		book("a workbook has a password", func() []byte { return append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), make([]byte, 2048)...) }),
		book("a workbook unpacks without end", bomb),
		book("a workbook lies about its size", lying),
		book("a workbook grows by entities", func() []byte { return withPart("xl/worksheets/sheet1.xml", entities()) }),
		book("a workbook has a sheet that is no XML", func() []byte { return withPart("xl/worksheets/sheet1.xml", "cell,file\n") }),
		book("a workbook has a sheet that ends early", func() []byte {
			return withPart("xl/worksheets/sheet1.xml", `<worksheet><sheetData><row r="1"><c r="A1"><v>1</v></c>`)
		}),
		book("a workbook has a sheet of endless depth", func() []byte {
			return withPart("xl/worksheets/sheet1.xml", strings.Repeat("<a>", 200_000))
		}),
		book("a workbook has a row that is far away", func() []byte {
			return withPart("xl/worksheets/sheet1.xml", `<worksheet><sheetData><row r="999999999"><c r="A999999999"><v>1</v></c></row></sheetData></worksheet>`)
		}),
		book("a workbook has a column that is far away", func() []byte {
			return withPart("xl/worksheets/sheet1.xml", `<worksheet><sheetData><row r="1"><c r="XFD1"><v>1</v></c></row></sheetData></worksheet>`)
		}),
		book("a workbook has a cell that is nowhere", func() []byte {
			return withPart("xl/worksheets/sheet1.xml", `<worksheet><sheetData><row r="1"><c r="0"><v>1</v></c><c r="ZZZZZZ1"><v>2</v></c></row></sheetData></worksheet>`)
		}),
		book("a workbook refers to a text that it lacks", func() []byte {
			return withPart("xl/worksheets/sheet1.xml", `<worksheet><sheetData><row r="1"><c r="A1" t="s"><v>12345678</v></c></row></sheetData></worksheet>`)
		}),
		book("a workbook is empty", func() []byte { return sheet(nil) }),
		book("a workbook has only a heading", func() []byte { return sheet([][]any{{"cell", "file", "measured_at", "temperature_c"}}) }),
		book("a workbook has another sheet first", func() []byte { return sheet([][]any{{"notes"}, {"hello"}}) }),
		book("a workbook has endless rows", func() []byte { return sheet(rows(10_000)) }),
	}
	return append(list, dates()...)
}

// book is a case of a workbook in place of the table.
func book(name string, content func() []byte) spoiling {
	return spoiling{name, []step{
		func(bench string) error { return os.Remove(filepath.Join(bench, "measurements.csv")) },
		func(bench string) error { return inPlace("measurements.xlsx", string(content()))(bench) },
	}}
}

// dates are faults of one row of a workbook, and a workbook as spectrum.
func dates() []spoiling {
	row := func(date, temperature any) func() []byte {
		return func() []byte {
			return sheet([][]any{{"cell", "file", "measured_at", "temperature_c"}, {"A1", "spectra/A1_new.csv", date, temperature}})
		}
	}
	return []spoiling{
		book("a workbook has a date that is a plain number", row(46084, 25)),
		book("a workbook has a date of the year 12000", row("12000-01-01", 25)),
		book("a workbook has a temperature that is a text", row("2026-01-01", "25 °C")),
		book("a workbook has a truth for a temperature", row("2026-01-01", true)),
		{"a spectrum is a workbook of words", []step{replaced("measurements.csv", "A1_new.csv", "A1_new.xlsx"), func(bench string) error {
			return inPlace("spectra/A1_new.xlsx", string(sheet([][]any{{"frequency_hz", "z_real_ohm", "z_imag_ohm"}, {1000, "x", -1}, {100, 1, -1}, {10, nil, -1}})))(bench)
		}}},
		{"a spectrum is a workbook that unpacks without end", []step{replaced("measurements.csv", "A1_new.csv", "A1_new.xlsx"), func(bench string) error {
			return inPlace("spectra/A1_new.xlsx", string(bomb()))(bench)
		}}},
	}
}

func rows(n int) [][]any {
	list := [][]any{{"cell", "file", "measured_at", "temperature_c"}}
	for range n {
		list = append(list, []any{"A1", "spectra/none.csv", "2026-01-01", 25})
	}
	return list
}

// sheet is a workbook of these rows.
func sheet(rows [][]any) []byte {
	f := excelize.NewFile()
	for i, row := range rows {
		if err := f.SetSheetRow("Sheet1", must(excelize.CoordinatesToCellName(1, i+1)), &row); err != nil {
			panic(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		panic(err)
	}
	return b.Bytes()
}

func archive(parts map[string]string) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for name, text := range parts {
		if _, err := io.WriteString(must(w.Create(name)), text); err != nil {
			panic(err)
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// withPart is a sound workbook with one part exchanged.
func withPart(name, text string) []byte {
	sound := sheet([][]any{{"cell"}})
	parts := map[string]string{}
	for _, f := range must(zip.NewReader(bytes.NewReader(sound), int64(len(sound)))).File {
		parts[f.Name] = string(must(io.ReadAll(must(f.Open()))))
	}
	parts[name] = text
	return archive(parts)
}

// bomb is a workbook of some eighty kilobytes that unpacks to 80 megabytes; a table's workbook may have 64.
func bomb() []byte {
	return withPart("xl/worksheets/sheet1.xml", "<worksheet><sheetData>"+strings.Repeat(" ", 80<<20)+"</sheetData></worksheet>")
}

// lying is a bomb whose directory says that its parts are small.
func lying() []byte {
	b := bomb()
	for at := 0; ; at += 4 {
		next := bytes.Index(b[at:], []byte("PK\x01\x02"))
		if next < 0 {
			return b
		}
		at += next
		binary.LittleEndian.PutUint32(b[at+24:], 100) // the size that a part unpacks to
	}
}

// entities grow tenfold each (the "billion laughs").
func entities() string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0"?><!DOCTYPE worksheet [<!ENTITY a0 "x">`)
	for i := range 9 {
		last := "&a" + string(rune('0'+i)) + ";"
		b.WriteString(`<!ENTITY a` + string(rune('1'+i)) + ` "` + strings.Repeat(last, 10) + `">`)
	}
	b.WriteString(`]><worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>&a9;</t></is></c></row></sheetData></worksheet>`)
	return b.String()
}
