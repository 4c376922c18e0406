package pdf

import (
	"cmp"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// pagesOf reads the text of a PDF back in the order in which it was set, a string a page, its blanks and line ends as single spaces.
func pagesOf(t testing.TB, pdf []byte) []string {
	t.Helper()
	text := string(outputOf(t, pdf, "pdftotext", "-raw", "FILE", "-"))
	pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
	for i, p := range pages {
		pages[i] = strings.Join(strings.Fields(p), " ")
	}
	return pages
}

// outputOf runs a program on a PDF, whose name stands for FILE, or skips where it is not installed.
func outputOf(t testing.TB, pdf []byte, program string, arguments ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		t.Skipf("%s is not installed", program)
	}
	file := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	for i, a := range arguments {
		if a == "FILE" {
			arguments[i] = file
		}
	}
	out, err := exec.Command(path, arguments...).Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", program, arguments, err, out)
	}
	return out
}

// pageFound is a page as an independent reader finds it: its words in the order in which they were set, and where each stands.
type pageFound struct {
	text  string
	words []wordFound
}

// wordFound is a word in its box, in points from the upper left corner.
type wordFound struct {
	text                   string
	left, top, right, foot float64
}

var wordBox = regexp.MustCompile(`xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">([^<]*)`)

func pagesFound(t testing.TB, pdf []byte) (pages []pageFound) {
	t.Helper()
	for _, page := range strings.Split(string(outputOf(t, pdf, "pdftotext", "-raw", "-bbox", "FILE", "-")), "<page ")[1:] {
		var p pageFound
		var texts []string
		for _, m := range wordBox.FindAllStringSubmatch(page, -1) {
			number := func(i int) float64 { v, _ := strconv.ParseFloat(m[i], 64); return v }
			p.words = append(p.words, wordFound{m[5], number(1), number(2), number(3), number(4)})
			texts = append(texts, m[5])
		}
		p.text = strings.Join(texts, " ")
		pages = append(pages, p)
	}
	return pages
}

// keepsApart looks for texts that lie over one another: by more than a tenth of what capitals take, which marks of figures may.
func keepsApart(t *testing.T, name string, pages []pageFound) {
	t.Helper()
	const aside, middle = 1., 0.3 // points; of a line's height, above and below
	for i, p := range pages {
		words := slices.Clone(p.words)
		slices.SortFunc(words, func(a, b wordFound) int { return cmp.Compare(a.top, b.top) })
		for k, a := range words {
			for _, b := range words[k+1:] {
				if b.top > a.foot {
					break
				}
				low, high := min(a.foot-middle*(a.foot-a.top), b.foot-middle*(b.foot-b.top)), max(a.top+middle*(a.foot-a.top), b.top+middle*(b.foot-b.top))
				if low-high > aside && min(a.right, b.right)-max(a.left, b.left) > aside {
					t.Errorf("%s: on page %d %q lies over %q", name, i+1, a.text, b.text)
				}
			}
		}
	}
}

// TestFrontsKeepTheirTextsApart sets first pages with more and more to say, so that some have to say less to stay one.
func TestFrontsKeepTheirTextsApart(t *testing.T) {
	short := 0
	for cells := 8; cells < 20; cells++ {
		d := specimen(t, cells, 2)
		for i := range cells {
			d.Assessment.Cells.At(i).Reason = "All limits are met at the measurement of 2026-03-18, and there is more to be said of it than two lines of this narrow column can hold."
		}
		pages := pagesFound(t, bytesOf(t, Options{Cells: NoCells}, d))
		keepsApart(t, fmt.Sprintf("%d cells", cells), pages[:1])
		if !strings.Contains(pages[0].text, "can hold") {
			short++
		}
	}
	if short == 0 || short == 12 {
		t.Errorf("%d of 12 first pages say less", short)
	}
}

// TestPages: every page is counted and identified, one end stands at the end, and nothing lies outside the margins.
func TestPages(t *testing.T) {
	for name, d := range variants(t) {
		pages := pagesFound(t, bytesOf(t, Options{Cells: selectionOf(name)}, d))
		keepsMargins(t, name, pages)
		keepsApart(t, name, pages)
		number := d.Assessment.Job.Report.Number
		if name == "hostile" || name == "wordy" || number == "" {
			continue // their number is no number
		}
		for i, p := range pages {
			if want := "page " + strconv.Itoa(i+1) + " of " + strconv.Itoa(len(pages)); !strings.HasSuffix(p.text, want) {
				t.Errorf("%s: page %d does not end in %q but in %q", name, i+1, want, p.text[max(0, len(p.text)-40):])
			}
			if !strings.Contains(p.text, "Report "+number) {
				t.Errorf("%s: page %d does not bear the report's number", name, i+1)
			}
			if ends, last := strings.Contains(p.text, "End of report "+number), i == len(pages)-1; ends != last {
				t.Errorf("%s: page %d of %d: end of the report: %v", name, i+1, len(pages), ends)
			}
		}
	}
}

// keepsMargins looks at where each word stands.
func keepsMargins(t *testing.T, name string, pages []pageFound) {
	t.Helper()
	const slack = 3 // points: letters hang over their box
	for _, p := range pages {
		for _, w := range p.words {
			if w.left < sideMargin*pointsPerMM-slack || w.right > (pageWidth-sideMargin)*pointsPerMM+slack ||
				w.top < topMargin*pointsPerMM-slack || w.foot > (pageHeight-bottomMargin)*pointsPerMM+slack {
				t.Errorf("%s: %q stands at %v %v to %v %v points", name, w.text, w.left, w.top, w.right, w.foot)
			}
		}
	}
}
