package pdf

import (
	"bytes"
	"strings"
	"testing"

	"ohmledger/report/figure"
)

// One page of the figure's size with its text, the caption as title, and the same bytes every time.
func TestFigureByItself(t *testing.T) {
	d := specimen(t, 1, 3)
	f := figure.Nyquist(d, d.Assessment.Cells.At(0))
	f.Caption = "moved by +4.2(1) mΩ 🔋"
	var first, second bytes.Buffer
	for _, b := range []*bytes.Buffer{&first, &second} {
		if err := WriteFigure(b, f); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("two drawings differ")
	}
	if pages := pagesOf(t, first.Bytes()); len(pages) != 1 || !strings.Contains(pages[0], "Z′ / mΩ") {
		t.Errorf("pages: %q", pages)
	}
	info := string(outputOf(t, first.Bytes(), "pdfinfo", "FILE"))
	for _, want := range []string{"moved by +4.2(1) mΩ", "Page size:       493.2"} { // 174 mm
		if !strings.Contains(info, want) {
			t.Errorf("no %q in\n%s", want, info)
		}
	}
}
