package pdf

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
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

func TestEveryPageIsCountedAndIdentified(t *testing.T) {
	for name, d := range variants(t) {
		number := d.Assessment.Job.Report.Number
		if name == "hostile" || name == "wordy" || number == "" {
			continue // their number is no number
		}
		pages := pagesOf(t, bytesOf(t, Options{Cells: selectionOf(name)}, d))
		for i, p := range pages {
			if want := "page " + strconv.Itoa(i+1) + " of " + strconv.Itoa(len(pages)); !strings.HasSuffix(p, want) {
				t.Errorf("%s: page %d does not end in %q but in %q", name, i+1, want, p[max(0, len(p)-40):])
			}
			if !strings.Contains(p, "Report "+number) {
				t.Errorf("%s: page %d does not bear the report's number", name, i+1)
			}
			if ends, last := strings.Contains(p, "End of report "+number), i == len(pages)-1; ends != last {
				t.Errorf("%s: page %d of %d: end of the report: %v", name, i+1, len(pages), ends)
			}
		}
	}
}

// TestNothingLiesOutsideTheMargins looks at where each word stands.
func TestNothingLiesOutsideTheMargins(t *testing.T) {
	for name, d := range variants(t) {
		keepsMargins(t, name, bytesOf(t, Options{Cells: selectionOf(name)}, d))
	}
}

var wordBox = regexp.MustCompile(`xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">([^<]*)`)

func keepsMargins(t *testing.T, name string, file []byte) {
	t.Helper()
	const slack = 3 // points: letters hang over their box
	for _, m := range wordBox.FindAllStringSubmatch(string(outputOf(t, file, "pdftotext", "-bbox", "FILE", "-")), -1) {
		number := func(i int) float64 { v, _ := strconv.ParseFloat(m[i], 64); return v / pointsPerMM }
		if number(1) < sideMargin-slack/pointsPerMM || number(3) > pageWidth-sideMargin+slack/pointsPerMM ||
			number(2) < topMargin-slack/pointsPerMM || number(4) > pageHeight-bottomMargin+slack/pointsPerMM {
			t.Errorf("%s: %q stands at %s %s to %s %s points", name, m[5], m[1], m[2], m[3], m[4])
		}
	}
}
