package main

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/xuri/excelize/v2"

	"ohmledger/templates"
)

// hostile are texts that one of the outputs, or a program that opens it, might obey. Each holds a word that must be legible
// in all of them.
var hostile = []struct{ word, text string }{
	{"formulaone", `=HYPERLINK("http://example.invalid","formulaone")`},
	{"formulatwo", `+formulatwo+1`},
	{"formulathree", `-2+3*formulathree`},
	{"formulafour", `@SUM(1;2) formulafour`},
	{"formulafive", `=cmd|'/C formulafive'!A0`},
	{"turnedround", "turnedround \u202etxt.exe\u2066\u2069 end"},
	{"hidden", "zero\u200bwidth\u00ad hidden \ufeff end"},
	{"emoji", "emoji 🔋 👩\u200d🔧 🏴\u200d☠\ufe0f"},
	{"hypertext", `<script>alert("hypertext")</script> <b>&amp;&lt; <!-- ]]> hypertext`},
	{"blockname", `{{.}} {{template "pdf.title"}} {{define "x"}} blockname {{end}}`},
	{"percents", `%s%d%n %!v(percents) \n \x1b[31m percents $HOME`},
	{"brackets", `(brackets) \( << /JS >> endobj %%EOF brackets`},
	{"combining", "combining e" + strings.Repeat("\u0301", 40) + " end"},
	{"righttoleft", "righttoleft אבג 123 كهر"},
	{"escaped", "_x001b_ _x0000_ escaped"},
	{"quotation", `quotation ' " ` + "` ’ » ;,\t end"},
}

var everywhere = flag.Bool("everywhere", false, "every hostile text in every place, not a sample of both")

// longest is a name without a blank to break it at.
var longest = strings.Repeat("W", 9_990) + " longtail"

// hostileJob puts hostile texts into every text of a job; shift says which goes where.
func hostileJob(t *testing.T, bench string, shift int) {
	t.Helper()
	at := shift
	next := func() string {
		at++
		return hostile[at%len(hostile)].text
	}
	tell := func(keys ...string) string {
		var entries []string
		for _, k := range keys {
			entries = append(entries, k+": "+string(must(json.Marshal(next()))))
		}
		return strings.Join(entries, ", ")
	}
	var b strings.Builder
	fmt.Fprintf(&b, "report: {%s, customer: {%s}, tested: %s}\n", tell("number", "title", "amends", "item", "remarks", "prepared_by", "authorised_by"), tell("name", "address", "reference"), must(json.Marshal(longest)))
	fmt.Fprintf(&b, "laboratory: {%s}\n", tell("name", "address", "contact", "accreditation"))
	fmt.Fprintf(&b, "cell: {%s}\ninstrument: {%s, relative_uncertainty: 0.002, absolute_uncertainty_ohm: 0.00002}\n", tell("maker", "model", "chemistry", "format"), tell("name"))
	fmt.Fprintf(&b, "limits: [{quantity: charge_transfer_growth, max: 2.0}]\ngroup_by: fixture\n")
	fmt.Fprintf(&b, "grades: [{%s, limits: [{quantity: charge_transfer_growth, max: 1.9}]}]\n", tell("name"))
	keep(t, filepath.Join(bench, "job.yaml"), []byte(b.String()))
	var table bytes.Buffer
	w := csv.NewWriter(&table)
	w.Write([]string{"cell", "file", "measured_at", "temperature_c", "instrument", "fixture", "operator", "remarks", "accept", next()})
	cell := next()
	for _, row := range [][2]string{{"A1_new", "2025-09-02"}, {"A1_aged", "2026-03-03"}} {
		w.Write([]string{cell, "spectra/" + row[0] + ".csv", row[1], "25", next(), next(), next(), next(), next(), next()})
		keep(t, filepath.Join(bench, "spectra", row[0]+".csv"), must(fs.ReadFile(templates.FS(), "job/spectra/"+row[0]+".csv")))
	}
	w.Flush()
	keep(t, filepath.Join(bench, "measurements.csv"), table.Bytes())
}

// Whatever texts a job holds: they are harmless and legible in the PDF, the workbook, results.json, figures and the terminal.
func TestHostileTexts(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	stride := 5
	if *everywhere {
		stride = 1
	}
	for shift := 0; shift < len(hostile); shift += stride {
		top := t.TempDir()
		bench, out := filepath.Join(top, "bench"), filepath.Join(top, "out")
		hostileJob(t, bench, shift)
		began := time.Now()
		for _, args := range [][]string{{"report", bench, "-o", out, "--figures", filepath.Join(top, "figures")}, {"check", bench}, {"verify", out, "--job", bench}} {
			if args[0] == "report" && shift > 0 {
				args = args[:4]
			}
			var told bytes.Buffer
			if code := run(args, &told, &told); code != exitDone {
				t.Fatalf("shift %d: %s: exit code %d: %s", shift, args[0], code, &told)
			}
			holdPrinted(t, args[0], told.String())
		}
		if took := time.Since(began); took > longestRefusal {
			t.Errorf("shift %d took %v", shift, took)
		}
		files := contents(t, out)
		holdResults(t, files[resultsName])
		holdBook(t, files[bookName])
		holdPDF(t, files[pdfName], filepath.Join(out, pdfName), shift == 0)
		if entries := must(os.ReadDir(top)); len(entries) > 3 {
			t.Errorf("shift %d: beside the folders there are %v", shift, entries)
		}
	}
}

// holdPrinted: a terminal has nothing to obey.
func holdPrinted(t *testing.T, what, text string) {
	t.Helper()
	for _, r := range text {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)) {
			t.Fatalf("%s prints %U: %q", what, r, text)
		}
	}
}

// holdResults: results.json holds the texts as they were given.
func holdResults(t *testing.T, text string) {
	t.Helper()
	var all any
	if err := json.Unmarshal([]byte(text), &all); err != nil {
		t.Fatal(err)
	}
	var found []string
	var visit func(v any)
	visit = func(v any) {
		switch v := v.(type) {
		case string:
			found = append(found, v)
		case []any:
			for _, item := range v {
				visit(item)
			}
		case map[string]any:
			for key, member := range v {
				found = append(found, key)
				visit(member)
			}
		}
	}
	visit(all)
	for _, h := range hostile {
		if !slices.Contains(found, strings.TrimSpace(h.text)) {
			t.Errorf("results.json lacks %q", h.text)
		}
	}
}

// holdBook: every part is XML, no hostile text is a formula or a link, and each can be read.
func holdBook(t *testing.T, data string) {
	t.Helper()
	for _, part := range must(zip.NewReader(strings.NewReader(data), int64(len(data)))).File {
		d := xml.NewDecoder(must(part.Open()))
		for err := error(nil); err == nil; {
			if _, err = d.Token(); err != nil && !errors.Is(err, io.EOF) {
				t.Fatalf("%s: %v", part.Name, err)
			}
		}
		if strings.Contains(part.Name, "externalLink") || strings.Contains(part.Name, "vbaProject") {
			t.Errorf("the workbook holds %s", part.Name)
		}
	}
	book := must(excelize.OpenReader(strings.NewReader(data)))
	defer book.Close()
	var texts strings.Builder
	for _, sheet := range book.GetSheetList() {
		for y, row := range must(book.GetRows(sheet)) {
			for x, text := range row {
				name := must(excelize.CoordinatesToCellName(x+1, y+1))
				if formula := must(book.GetCellFormula(sheet, name)); hostileWord(literal.ReplaceAllString(formula, "")) != "" {
					t.Errorf("%s!%s is the formula %s", sheet, name, formula)
				}
				if linked, target, err := book.GetCellHyperLink(sheet, name); err == nil && linked && hostileWord(target) != "" {
					t.Errorf("%s!%s links to %s", sheet, name, target)
				}
				texts.WriteString(text + "\n")
			}
		}
	}
	for _, h := range hostile {
		if !strings.Contains(texts.String(), h.word) {
			t.Errorf("the workbook lacks %q", h.word)
		}
	}
}

// literal is a text within a formula, where it is nothing but a text.
var literal = regexp.MustCompile(`"(""|[^"])*"`)

func hostileWord(text string) string {
	for _, h := range hostile {
		if strings.Contains(text, h.word) {
			return h.word
		}
	}
	return ""
}

var active = regexp.MustCompile(`/(JavaScript|JS|Launch|OpenAction|AA|URI|SubmitForm|RichMedia)\b`)

// holdPDF: it is sound, does nothing, and each text can be read where the tools are there to see it.
func holdPDF(t *testing.T, data, name string, whole bool) {
	t.Helper()
	if m := active.FindString(strings.ReplaceAll(data, "<< /JS >>", "")); m != "" {
		t.Errorf("the PDF holds %s", m)
	}
	if _, err := exec.LookPath("qpdf"); err == nil && whole {
		if told, err := exec.Command("qpdf", "--check", name).CombinedOutput(); err != nil {
			t.Errorf("qpdf: %s", told)
		}
	}
	text, err := exec.Command("pdftotext", "-raw", name, "-").Output()
	if err != nil {
		t.Logf("pdftotext: %v", err)
		return
	}
	joined := strings.Join(strings.Fields(string(text)), "")
	for _, h := range hostile {
		if !strings.Contains(joined, h.word) {
			t.Errorf("the PDF lacks %q", h.word)
		}
	}
	for _, r := range string(text) {
		mark := r == '\u202b' || r == '\u202c' // by which pdftotext itself frames Hebrew and Arabic
		if unicode.Is(unicode.Bidi_Control, r) && !mark || unicode.IsControl(r) && !strings.ContainsRune("\n\f\r\t", r) {
			t.Errorf("the PDF holds %U", r)
			return
		}
	}
}
