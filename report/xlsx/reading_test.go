package xlsx_test

import (
	"archive/zip"
	"bytes"
	"io"
	"testing"

	"ohmledger/report"
	"ohmledger/report/internal/specimen"
	"ohmledger/report/xlsx"
)

// What is written reads back sealed, with the digest of its results, and equal to itself.
func TestFileReadsBack(t *testing.T) {
	for name, a := range assessments() {
		f, err := xlsx.Open(workbook(t, a))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if digest, err := report.Digest(document(t, a)); err != nil || f.Results != digest || !f.Sealed {
			t.Errorf("%s: digest %q, want %q (%v); sealed %v", name, f.Results, digest, err, f.Sealed)
		}
		if d, err := xlsx.Compare(f, f); err != nil || !d.Equal() {
			t.Errorf("%s: differs from itself: %+v, %v", name, d, err)
		}
	}
}

// A cell that is changed is named with what it held, whatever program saved the file.
func TestChangedCellIsNamed(t *testing.T) {
	whole := workbook(t, specimen.Assessment(specimen.Rules[1]))
	f := opened(t, whole)
	was, _ := f.GetCellValue("Limits", "D9")
	set(t, f, "D9", 1.4)
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	want, err := xlsx.Open(whole)
	if err != nil {
		t.Fatal(err)
	}
	got, err := xlsx.Open(b.Bytes())
	if err != nil || got.Sealed || got.Results != want.Results {
		t.Fatalf("%+v, %v", got, err)
	}
	d, err := xlsx.Compare(got, want)
	if err != nil || d.Count() != 1 || d.List[0] != (report.Difference{Place: "Limits!D9", Found: "1.4", Expected: was}) {
		t.Errorf("%+v, %v", d, err)
	}
}

// A byte of any part that is changed breaks the seal, or the file cannot be opened.
func TestSealBreaks(t *testing.T) {
	whole := workbook(t, specimen.Lot(1, 1))
	archive, err := zip.NewReader(bytes.NewReader(whole), int64(len(whole)))
	if err != nil {
		t.Fatal(err)
	}
	end, _ := archive.File[len(archive.File)-1].DataOffset()
	for at := 0; at < int(end); at += int(end)/61 + 1 {
		b := bytes.Clone(whole)
		b[at] ^= 1
		if f, err := xlsx.Open(b); err == nil && f.Sealed {
			t.Errorf("byte %d changed and nothing is said", at)
		}
	}
}

// What unpacks to far more than a workbook can is refused before it is taken apart.
func TestBombs(t *testing.T) {
	var b bytes.Buffer
	archive := zip.NewWriter(&b)
	w, err := archive.Create("xl/worksheets/sheet1.xml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.CopyN(w, zeros{}, 1<<28); err != nil {
		t.Fatal(err)
	}
	if err := archive.Close(); err != nil {
		t.Fatal(err)
	}
	if f, err := xlsx.Open(b.Bytes()); err == nil {
		t.Errorf("%+v", f)
	}
	for _, b := range [][]byte{nil, []byte("PK\x03\x04"), []byte("hello")} {
		if f, err := xlsx.Open(b); err == nil {
			t.Errorf("%q: %+v", b, f)
		}
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }
