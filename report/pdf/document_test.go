package pdf

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"strings"
	"sync"
	"testing"
	"time"

	"ohmledger/report"
)

func TestSameDocumentSameBytes(t *testing.T) {
	d := specimen(t, 3, 4)
	want := sha256.Sum256(bytesOf(t, Options{Logo: logoOf(t, 60, 20)}, d))
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			var b bytes.Buffer
			if err := (Options{Logo: logoOf(t, 60, 20)}).Write(&b, d); err != nil || sha256.Sum256(b.Bytes()) != want {
				t.Errorf("other bytes, error %v", err)
			}
		})
	}
	wait.Wait()
}

// logoOf is an invented logo.
func logoOf(t testing.TB, width, height int) []byte {
	t.Helper()
	m := image.NewNRGBA(image.Rect(0, 0, width, height))
	for x := range width {
		for y := range height {
			m.Set(x, y, color.NRGBA{R: uint8(4 * x), G: 90, B: uint8(12 * y), A: 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestLogoThatIsNone(t *testing.T) {
	err := Options{Logo: []byte("GIF89a")}.Write(&bytes.Buffer{}, specimen(t, 1, 1))
	if err == nil || !strings.Contains(err.Error(), "laboratory.logo is no PNG or JPEG") {
		t.Errorf("%v", err)
	}
}

func TestStructure(t *testing.T) {
	d := specimen(t, 3, 2)
	b := bytesOf(t, Options{}, d)
	file := struct {
		Outlines    []outline
		Attachments map[string]struct{ Preferredname string }
	}{}
	if err := json.Unmarshal(outputOf(t, b, "qpdf", "--json", "--json-key=outlines", "--json-key=attachments", "FILE"), &file); err != nil {
		t.Fatal(err)
	}
	if got, want := titles(file.Outlines), "Summary Cells(A-001 A-002 A-003) Measurement quality Method Statements"; got != want {
		t.Errorf("bookmarks %q, want %q", got, want)
	}
	var attached []string
	for _, a := range file.Attachments {
		attached = append(attached, a.Preferredname)
	}
	if len(attached) != 1 || attached[0] != "results.json" {
		t.Errorf("attached %q", attached)
	}
	if checked := outputOf(t, b, "qpdf", "--check", "FILE"); !bytes.Contains(checked, []byte("No syntax or stream encoding errors")) {
		t.Errorf("%s", checked)
	}
}

type outline struct {
	Title string
	Kids  []outline
}

func titles(list []outline) string {
	var names []string
	for _, o := range list {
		name := o.Title
		if len(o.Kids) > 0 {
			name += "(" + titles(o.Kids) + ")"
		}
		names = append(names, name)
	}
	return strings.Join(names, " ")
}

func TestAttachedResultsAreTheReports(t *testing.T) {
	d := specimen(t, 2, 2)
	var want bytes.Buffer
	if err := report.WriteResults(&want, d); err != nil {
		t.Fatal(err)
	}
	got := outputOf(t, bytesOf(t, Options{}, d), "qpdf", "--show-attachment=results.json", "FILE")
	if !bytes.Equal(got, want.Bytes()) {
		t.Errorf("%d bytes are attached, the results have %d", len(got), want.Len())
	}
}

// TestProperties: language, title and dates are set, and the clock plays no part.
func TestProperties(t *testing.T) {
	d := specimen(t, 1, 1)
	b := bytesOf(t, Options{}, d)
	info := string(outputOf(t, b, "pdfinfo", "-isodates", "FILE"))
	for _, want := range []string{"State of health of stored traction cells TCL-2026-041", "Tarnside Cell Laboratory", "2026-04-02T00:00:00"} {
		if !strings.Contains(info, want) {
			t.Errorf("%q not found in\n%s", want, info)
		}
	}
	if file := outputOf(t, b, "qpdf", "--object-streams=disable", "FILE", "-"); !bytes.Contains(file, []byte("/Lang (en)")) {
		t.Error("no language")
	}
	d.Assessment.Job.Report.Issued = time.Time{}
	if info := string(outputOf(t, bytesOf(t, Options{}, d), "pdfinfo", "-isodates", "FILE")); strings.Contains(info, "Date") {
		t.Errorf("a report that is not issued has a date:\n%s", info)
	}
}

func TestFontsAreEmbeddedSubsets(t *testing.T) {
	fonts := string(outputOf(t, bytesOf(t, Options{}, specimen(t, 1, 2)), "pdffonts", "FILE"))
	lines := strings.Split(strings.TrimSpace(fonts), "\n")[2:]
	if len(lines) != len(faces) {
		t.Errorf("%d fonts:\n%s", len(lines), fonts)
	}
	for _, l := range lines {
		if fields := strings.Fields(l); fields[len(fields)-5] != "yes" {
			t.Errorf("not embedded: %s", l)
		}
	}
}

// TestSize holds what a file may weigh: 14 kB a cell.
func TestSize(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in TestPages too")
	}
	for _, cells := range []int{1, 12} {
		if n := len(bytesOf(t, Options{}, specimen(t, cells, 8))); n > 14_000*cells+32_000 { // the fonts once
			t.Errorf("%d cells: %d bytes", cells, n)
		}
	}
}

// BenchmarkTwelveCells has to stay under a second.
func BenchmarkTwelveCells(b *testing.B) {
	d := specimen(b, 12, 8)
	for b.Loop() {
		b.SetBytes(int64(len(bytesOf(b, Options{}, d))))
	}
}
