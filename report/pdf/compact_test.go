package pdf

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"
)

// small is a document with text, a picture of vectors, a link, a bookmark and an attachment.
func small(t *testing.T) []byte {
	pdf := page(t)
	pdf.SetFont("body", "", 10)
	pdf.Text(20, 20, "endobj stream R_{ct} ↗")
	pdf.Bookmark("a bookmark", 0, 0)
	pdf.Link(10, 10, 10, 10, pdf.AddLink())
	pdf.SetAttachments([]fpdf.Attachment{{Content: []byte(strings.Repeat("endobj\nstream\n", 50)), Filename: "results.json"}})
	var b bytes.Buffer
	if err := pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestCompactSaysTheSame: text and attachment are those of the document before, and a checker finds nothing.
func TestCompactSaysTheSame(t *testing.T) {
	before := small(t)
	small, err := compact(before, nil)
	if err != nil {
		t.Fatal(err)
	}
	after := small.bytes
	if len(after) >= len(before)*3/4 {
		t.Errorf("%d bytes of %d", len(after), len(before))
	}
	for _, ask := range [][]string{{"pdftotext", "-layout", "FILE", "-"}, {"qpdf", "--show-npages", "FILE"}} {
		want := outputOf(t, before, ask[0], slices.Clone(ask[1:])...)
		if got := outputOf(t, after, ask[0], slices.Clone(ask[1:])...); !bytes.Equal(got, want) {
			t.Errorf("%s: %s\nwant %s", ask, got, want)
		}
	}
	outputOf(t, after, "qpdf", "--check", "FILE")
	attached := outputOf(t, after, "qpdf", "--show-attachment=results.json", "FILE")
	if want := strings.Repeat("endobj\nstream\n", 50); string(attached) != want {
		t.Errorf("attached: %q", attached)
	}
}

func TestCompactRefusesWhatItCannotRead(t *testing.T) {
	whole := small(t)
	for name, b := range map[string][]byte{
		"nothing": nil, "no table": []byte("%PDF-1.3\nstartxref\n0\n%%EOF"), "cut off": whole[:len(whole)/2],
		"begun late": whole[100:], "no objects": bytes.ReplaceAll(whole, []byte(" 0 obj"), []byte(" 0 abj")),
	} {
		if got, err := compact(b, nil); err == nil || got != nil {
			t.Errorf("%s: %v, error %v", name, got, err)
		}
	}
}
