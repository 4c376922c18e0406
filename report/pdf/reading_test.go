package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"
	"testing"

	"ohmledger/report"
)

// What is written reads back: sealed, with its results and the texts of its pages.
func TestFileReadsBack(t *testing.T) {
	d := specimen(t, 3, 2)
	var results bytes.Buffer
	if err := report.WriteResults(&results, d); err != nil {
		t.Fatal(err)
	}
	for _, cells := range []Selection{AllCells, FailedCells, NoCells} {
		f, err := Open(bytesOf(t, Options{Cells: cells}, d))
		if err != nil {
			t.Fatal(err)
		}
		if !f.Sealed || f.Added != 0 || f.Cells != cells || !bytes.Equal(f.Results, results.Bytes()) {
			t.Errorf("%q: sealed %v, %d bytes added, %q, %d bytes of results", cells, f.Sealed, f.Added, f.Cells, len(f.Results))
		}
		digest, err := report.Digest(d)
		if text := strings.Join(f.Pages[len(f.Pages)-1], " ") + strings.Join(f.Pages[len(f.Pages)-2], " "); err != nil || !strings.Contains(text, digest) {
			t.Errorf("%q: the last pages do not state the digest %s (%v):\n%s", cells, digest, err, text)
		}
	}
}

// The texts read back are those that an independent reader finds on the pages.
func TestTextsAreThoseOfThePages(t *testing.T) {
	b := bytesOf(t, Options{}, specimen(t, 2, 2))
	f, err := Open(b)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Split(strings.TrimSuffix(string(outputOf(t, b, "pdftotext", "-raw", "FILE", "-")), "\f"), "\f")
	if len(want) != len(f.Pages) {
		t.Fatalf("%d pages, want %d", len(f.Pages), len(want))
	}
	for i, page := range f.Pages {
		found := strings.Join(page, " ")
		for _, word := range strings.Fields(want[i]) {
			if len(word) > 5 && strings.Trim(word, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" && !strings.Contains(found, word) {
				t.Errorf("page %d: %q is not among the texts read", i+1, word)
			}
		}
	}
}

// Any byte that is changed breaks the seal; bytes at the end are counted apart.
func TestSealBreaks(t *testing.T) {
	whole := bytesOf(t, Options{Cells: NoCells}, specimen(t, 1, 1))
	signed, err := Open(append(bytes.Clone(whole), "7 0 obj\n"...))
	if err != nil || !signed.Sealed || signed.Added != 8 {
		t.Errorf("%+v, %v", signed, err)
	}
	for at := 9; at < len(whole); at += len(whole)/997 + 1 {
		b := bytes.Clone(whole)
		b[at] ^= 1
		if f, err := Open(b); err == nil && f.Sealed && f.Added == 0 {
			t.Errorf("byte %d changed and nothing is said", at)
		}
	}
}

// What is no file of ours is refused in words.
func TestForeignFiles(t *testing.T) {
	whole := bytesOf(t, Options{Cells: NoCells}, specimen(t, 1, 1))
	resaved := outputOf(t, whole, "qpdf", "--object-streams=generate", "FILE", "-")
	for name, b := range map[string][]byte{
		"nothing": nil, "text": []byte("hello"), "head": whole[:len(whole)/2], "saved anew": resaved,
		"no table": bytes.Replace(whole, []byte("\nstartxref\n"), []byte("\nstartxref\n9"), 1),
		"bomb":     bomb(t),
	} {
		if f, err := Open(b); err == nil && f.Sealed {
			t.Errorf("%s: %+v", name, f)
		} else if err != nil && f != nil && f.Sealed {
			t.Errorf("%s: sealed in spite of %v", name, err)
		}
	}
}

// bomb is a small file whose attachment unpacks to far more than a report's can.
func bomb(t *testing.T) []byte {
	t.Helper()
	var packed bytes.Buffer
	w := zlib.NewWriter(&packed)
	for range 64 {
		if _, err := w.Write(make([]byte, 1<<20)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return fmt.Appendf(nil, "%%PDF-1.7\n%%\n1 0 obj\n<< /Type /EmbeddedFile /Length %d >>\n\nstream\n%s\nendstream\nendobj\nxref\n%%%%EOF\n", packed.Len(), packed.Bytes())
}

// FuzzOpen: a file is read or refused, in memory bound to its size; sealed is only what Write can have written.
func FuzzOpen(f *testing.F) {
	whole := bytesOf(f, Options{Cells: NoCells}, specimen(f, 1, 1))
	f.Add(whole[:400], 0)
	f.Add([]byte("%PDF-1.7\n"), len(whole)/2)
	f.Fuzz(func(t *testing.T, patch []byte, at int) {
		b := bytes.Clone(whole)
		at = int(uint(at) % uint(len(b)))
		copy(b[at:], patch)
		file, err := Open(b)
		if err == nil && file.Sealed && file.Added == 0 && !bytes.Equal(b, whole) {
			t.Errorf("changed at %d and still sealed", at)
		}
		if err == nil && len(file.Results) > growth*len(b)+leastRoom {
			t.Errorf("%d bytes of results from %d", len(file.Results), len(b))
		}
	})
}

// A page that could show other words than those that are read is none of ours.
func TestUnusualTextIsForeign(t *testing.T) {
	for _, page := range []string{"BT 1 2 Td [(a)] TJ ET\n", "BT 3 Tr (a) Tj ET\n", "BT (a) ' ET\n", "/a Do\n"} {
		if _, ours := (&words{}).textsOf([]byte(page)); ours {
			t.Errorf("%q passes", page)
		}
	}
	if texts, ours := (&words{}).textsOf([]byte("BT 1 2 Td (\x00a) Tj ET\n")); !ours || len(texts) != 1 || texts[0] != "a" {
		t.Errorf("a page of ours gives %q, %v", texts, ours)
	}
}
