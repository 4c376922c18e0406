package report

import (
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// languages are those that are shipped.
func languages(t *testing.T) map[string]*Words {
	t.Helper()
	folders, err := fs.ReadDir(os.DirFS("../templates"), "wording")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]*Words{}
	for _, f := range folders {
		w, err := loadWords(os.DirFS("../templates"), f.Name(), nil, "")
		if err != nil {
			t.Fatal(err)
		}
		all[f.Name()] = w
	}
	if all["en"] == nil || len(all) < 2 {
		t.Fatalf("%d languages; English and another are shipped", len(all))
	}
	return all
}

func TestLanguagesHaveTheSameBlocks(t *testing.T) {
	all := languages(t)
	english := all["en"].names()
	for language, w := range all {
		for _, name := range english {
			if !w.Has(name) {
				t.Errorf("wording/%s lacks the block %q", language, name)
			}
		}
		for _, name := range w.names() {
			if !all["en"].Has(name) {
				t.Errorf("wording/%s has the block %q, which wording/en lacks", language, name)
			}
		}
	}
}

// Whoever translates leaves no value away, and names none that the block is not given.
func TestLanguagesNameTheSameValues(t *testing.T) {
	all := languages(t)
	for language, w := range all {
		for _, name := range w.names() {
			if !all["en"].Has(name) {
				continue
			}
			if got, want := values(w, name), values(all["en"], name); !slices.Equal(got, want) {
				t.Errorf("wording/%s: %q names the values %v, wording/en %v", language, name, got, want)
			}
		}
	}
}

// values are the names of what a block is given; how it asks a fact for its parts is its own matter.
func values(w *Words, block string) []string {
	return slices.DeleteFunc(fields(w.blocks.Lookup(block).Root), func(name string) bool { return slices.Contains(ofFacts, name) })
}

// sameInGerman are blocks whose text is the same in both languages: signs, names of units, words that both have.
var sameInGerman = []string{
	"check.number", "check.pair.head", "figure.bode.phase", "figure.charge", "figure.compare.spectrum",
	"pdf.column.budget.direct", "pdf.column.charge-transfer", "pdf.column.film", "pdf.column.ohmic", "pdf.criterion.heading",
	"pdf.label.activation-energy", "pdf.label.bytes", "pdf.label.lot.count", "pdf.label.lot.deviation", "pdf.label.lot.median",
	"pdf.label.sampling.standard", "pdf.label.sha256", "pdf.label.soc", "pdf.label.temperature", "pdf.lot.other",
	"pdf.method.diffusion", "pdf.method.equation", "pdf.tally", "workbook.column.bytes", "workbook.column.code",
	"workbook.column.cp", "workbook.column.cpk", "workbook.column.limit_value", "workbook.column.lot_median", "workbook.column.robust_p",
	"workbook.column.sha256", "workbook.matching.parallel", "workbook.outliers.elsewhere",
	"workbook.sampling.severity.normal", "workbook.u",
}

// actions of a template, and signs: what is left is words.
var actions = regexp.MustCompile(`\{\{[^}]*\}\}|[_^]\{[^}]*\}`)

func TestNoBlockIsLeftInEnglish(t *testing.T) {
	all := languages(t)
	for _, name := range all["de"].names() {
		english := all["en"].blocks.Lookup(name)
		if english == nil {
			continue
		}
		same := all["de"].blocks.Lookup(name).Root.String() == english.Root.String()
		wordless := !strings.ContainsFunc(actions.ReplaceAllString(english.Root.String(), ""), func(r rune) bool { return r >= 'a' && r <= 'z' })
		if allowed := wordless || slices.Contains(sameInGerman, name); same && !allowed {
			t.Errorf("wording/de: %q is the English block", name)
		} else if !same && slices.Contains(sameInGerman, name) {
			t.Errorf("%q is translated and need not stand among the blocks that are the same", name)
		}
	}
}

// Every block can be said in every language, with nothing, one and more of what it is given.
func TestEveryBlockCanBeSaid(t *testing.T) {
	for language, w := range languages(t) {
		for _, name := range w.names() {
			s := blockReader{blocks: w.blocks}.givenTo(name)
			for n := range 6 {
				text, err := execute(w.blocks, name, s.like(n, w.Notation()))
				if err != nil {
					t.Errorf("wording/%s, %d: %v", language, n, err)
				}
				if strings.Contains(text, "<no value>") || strings.Contains(text, "%!") || strings.Contains(text, "map[") {
					t.Errorf("wording/%s: %q says %q", language, name, text)
				}
			}
		}
	}
}

// germanTerms are words that a translator may also think of, and those that this report uses throughout.
var germanTerms = map[string]string{
	"Ladungsdurchtrittswiderstand": "Durchtrittswiderstand", "Unsicherheitsbilanz": "Messunsicherheitsbudget", "Baseline": "Bezug",
	"beurteil": "bewerten", "Überdeckungsfaktor": "Erweiterungsfaktor", "Sweep": "Durchlauf",
	"Losgrad": "Einstufung", "durchgefallen": "nicht bestanden", "Kramers–Kronig": "Kramers-Kronig",
}

// One thing has one name in all German sentences.
func TestGermanTerms(t *testing.T) {
	w := languages(t)["de"]
	for _, name := range w.names() {
		text := actions.ReplaceAllString(w.blocks.Lookup(name).Root.String(), "")
		for other, term := range germanTerms {
			if strings.Contains(text, other) {
				t.Errorf("wording/de: %q says %s; elsewhere it is %s", name, other, term)
			}
		}
	}
}

// saidIn finds the codes of what fit and health say, where they say it.
var saidIn = regexp.MustCompile(`\b(because|add)\("([a-z0-9-]+)"|\bDoubt\{Code: "([a-z0-9-]+)"`)

// What fit and health say has its sentence: a code that nobody has words for would only show when a report meets it.
func TestWhatIsSaidHasItsBlock(t *testing.T) {
	english := languages(t)["en"]
	found := 0
	for _, folder := range []string{"../fit", "../health"} {
		files := os.DirFS(folder)
		names, err := fs.Glob(files, "*.go")
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			source, err := fs.ReadFile(files, name)
			if err != nil {
				t.Fatal(err)
			}
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			for _, m := range saidIn.FindAllStringSubmatch(string(source), -1) {
				block := "reason." + m[2]
				if m[1] != "because" {
					block = "doubt." + m[2] + m[3]
				}
				found++
				begun := strings.HasSuffix(block, "-") && slices.ContainsFunc(english.names(), func(n string) bool { return strings.HasPrefix(n, block) })
				if !begun && !english.Has(block) {
					t.Errorf("%s/%s says what has no block %q", folder, name, block)
				}
			}
		}
	}
	if found < 100 {
		t.Errorf("only %d codes found", found)
	}
}
