package pdf

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode"

	"ohmledger/report"
)

// inGerman gives a document the words, numbers and dates of German; what its job quotes stays English.
func inGerman(t testing.TB, d *report.Document) *report.Document {
	t.Helper()
	words, err := report.ReadWords(os.DirFS("../../templates"), "de", nil, "")
	if err != nil {
		t.Fatal(err)
	}
	d.Assessment.Job.Language, d.Words = "de", words
	return d
}

// TestGermanPages: long words leave no page's margins, every page is counted, and one end stands at the end.
func TestGermanPages(t *testing.T) {
	if testing.Short() {
		t.Skip("makes many pages")
	}
	all := variants(t)
	for _, name := range []string{"seven", "wordy", "blank", "long", "four-way", "delivery", "empty"} {
		file := bytesOf(t, Options{Cells: selectionOf(name)}, inGerman(t, all[name]))
		if folder := os.Getenv("OHMLEDGER_REPORTS"); folder != "" {
			if err := os.WriteFile(fmt.Sprintf("%s/%s-de.pdf", folder, name), file, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		pages := pagesFound(t, file)
		keepsMargins(t, name, pages)
		keepsApart(t, name, pages)
		for i, p := range pages {
			if count := fmt.Sprintf("Seite %d von %d", i+1, len(pages)); !strings.Contains(p.text, count) {
				t.Errorf("%s: page %d lacks %q", name, i+1, count)
			}
			if ends, last := strings.Contains(p.text, "— Ende des Berichts"), i == len(pages)-1; ends != last {
				t.Errorf("%s: page %d of %d: end of the report: %v", name, i+1, len(pages), ends)
			}
		}
	}
}

// TestGermanHeadsAreWhole: no head of a table or of a section, which have little room, is broken inside a word but at its soft hyphens.
func TestGermanHeadsAreWhole(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in TestPages too")
	}
	d := inGerman(t, specimen(t, 7, 8))
	inTheText := map[string]bool{}
	for _, page := range pagesOf(t, bytesOf(t, Options{}, d)) {
		for _, word := range strings.Fields(page) {
			inTheText[strings.TrimFunc(word, func(r rune) bool { return !unicode.IsLetter(r) && r != '-' })] = true
		}
	}
	for _, label := range []string{"conformity", "decision-rule", "uncertainty", "circuit-model", "measurement", "rule", "conditions", "contribution", "combined"} {
		for _, word := range strings.Fields(d.Words.Say("pdf.label."+label, nil)) {
			for _, part := range strings.SplitAfter(word, string(softHyphen)) {
				part = strings.Replace(part, string(softHyphen), hyphen, 1)
				if whole := unmarked(word); !inTheText[part] && !inTheText[whole] {
					t.Errorf("%q of %q stands nowhere", part, whole)
				}
			}
		}
	}
}
