package xlsx_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/internal/specimen"
)

// hostile are texts that programs might run into.
var hostile = []string{
	"=1+1", "+1", "-1+2", "@SUM(A1)", `=HYPERLINK("x","y")`, "\t=1", "{=1}", "'=1", "=cmd|' /C x'!A0",
	"a\x00b\x01\x7f", "a\u202eb\u2066c", "_x0041_", "]]>&<b>", "😀 Ωμ", strings.Repeat("long ", 4000), "two\nlines", " blanks ", "\xff\xfe", strings.Repeat("&", 300),
	"_x000D_=1", "\r=1\r\n", "\u2028=1", "<![CDATA[", "%00", "DDE(\"a\";\"b\";\"c\")", "\u0301=1",
}

// poisoned puts a text into every field that comes from outside.
func poisoned(s string) *health.Assessment {
	a := specimen.Assessment(specimen.Rules[1])
	a.Cells = a.Cells.Between(0, 1)
	thinned(a, 2)
	r := &a.Job.Report
	for _, field := range []*string{&r.Title, &r.Number, &r.Item, &r.Remarks, &r.PreparedBy, &r.AuthorisedBy, &r.Customer.Name, &a.Job.Laboratory.Name,
		&a.Job.Cell.Model, &a.Job.Instrument.Name, &a.Temperature.Note} {
		*field = s
	}
	a.Job.ExtraColumns = []string{s, "module", "Module", "cell"}
	for i := range a.Cells.Len() {
		c := a.Cells.At(i)
		c.Name, c.Reason, c.Grade, c.Baseline.Note, c.ArcsChoice = s, s, s, s, s
		for k := range c.Criteria {
			c.Criteria[k].Reason = s
		}
		for k := range c.Measurements {
			row := c.Measurements[k].Row
			row.Cell, row.File, row.Remarks, row.Operator, row.Instrument, row.Fixture, row.Accept = s, s, s, s, s, s, s
			row.Extra = map[string]string{s: s}
		}
	}
	return a
}

// poisonLot puts a text into every field of a lot that comes from outside.
func poisonLot(a *health.Assessment, s string) *health.Assessment {
	a.Job.Grades[1].Name = s
	for i := range a.Cells.Len() {
		c := a.Cells.At(i)
		c.Name, c.Grade, c.Grading.Reason, c.Grading.Better, c.Trend[1].Reason = s, s, s, s, s
		c.Grading.Missed[0].Reason, c.Grading.Missed[0].By = s, math.NaN()
		c.Departures = []health.Departure{{Quantity: job.OhmicGrowth, Dominant: "group", Reason: s}}
	}
	l := a.Lot
	l.Groups[0].Name, l.Sampling.Standard, l.Sampling.Level, l.Sampling.Reason = s, s, s, s
	l.Quantities[0].Outliers.Cells = []health.Outlier{{Cell: s, Group: s, Value: fit.NewValue(1.2, 0.1), Findings: []string{s, s}}}
	l.Quantities[0].Separation.Reason = s
	n := len(l.Grouping.By)
	l.Grouping.Groups = []health.MatchedGroup{{Number: 1, Cells: []string{s}, Limiting: s, Grade: s, Ratio: 0.9, Means: make([]float64, n), Ranges: make([]float64, n)}}
	l.Grouping.Leftover, l.Grouping.Reasons = []health.LeftoverCell{{Cell: s, Reason: s}}, []string{s}
	return a
}

func TestOutsideTextOfALotIsNeverAFormula(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	a := deliveryOf(16)
	a.Cells = a.Cells.Between(0, 2)
	own := countFormulas(t, opened(t, workbook(t, poisonLot(a, "harmless"))))
	for i, s := range hostile {
		if i%2 != 0 {
			continue // all of them are tried on the sheets of cells; of each kind one is enough here
		}
		content := workbook(t, poisonLot(a, s))
		f := opened(t, content)
		if n := countFormulas(t, f); n > own {
			t.Errorf("%.20q: %d formulas, %d without it", s, n, own)
		}
		for _, place := range []string{"Grades!A4", "Lot!B5", "Outliers!A4", "Forecasts!A4", "Departures!A4", "Group members!A4"} {
			sheet, cell, _ := strings.Cut(place, "!")
			if got, _ := f.GetCellValue(sheet, cell); once(got) != once(cleaned(s)) {
				t.Errorf("%.20q stands in %s as %.40q", s, place, got)
			}
		}
		checkFormat(t, fmt.Sprintf("%.20q", s), content)
	}
}

// cleaned is a text without what no text should hold.
func cleaned(s string) string {
	return harmless.Replace(strings.ReplaceAll(strings.ToValidUTF8(s, "\ufffd"), "\r", ""))
}

// A text that is longer than a cell can hold ends on a sign that it goes on.
func TestLongTextsAreCutInSight(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	for _, letter := range []string{"y", "Ω", "😀"} {
		f := opened(t, workbook(t, poisoned(strings.Repeat(letter, 40000))))
		got, _ := f.GetCellValue("Results", "A4")
		if n := len(utf16.Encode([]rune(got))); n > 32767 || n < 32760 || !strings.HasSuffix(got, letter+"…") {
			t.Errorf("%q: %d characters that end on %q", letter, n, got[max(0, len(got)-8):])
		}
	}
}

func countFormulas(t *testing.T, f *excelize.File) (n int) {
	formulas(t, f, func(_, _, _, _ string) { n++ })
	return n
}

func TestOutsideTextIsNeverAFormula(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	own := countFormulas(t, opened(t, workbook(t, poisoned("harmless"))))
	for _, s := range hostile {
		content := workbook(t, poisoned(s))
		f := opened(t, content)
		if n := countFormulas(t, f); n != own {
			t.Errorf("%.20q: %d formulas, %d without it", s, n, own)
		}
		for _, place := range []string{"Results!A4", "Criteria!A4", "Summary!A8", "Quality!A4", "Spectra!A4", "Baselines!A4"} {
			sheet, cell, _ := strings.Cut(place, "!")
			if got, _ := f.GetCellValue(sheet, cell); once(got) != once(cleaned(s)) {
				t.Errorf("%.20q stands in %s as %.40q", s, place, got)
			}
		}
		wellFormed(t, content)
	}
}

// harmless writes the replacement character for what no text should hold.
var harmless = strings.NewReplacer("\x00", "\ufffd", "\x01", "\ufffd", "\x7f", "\ufffd", "\u202e", "\ufffd", "\u2066", "\ufffd")

// once writes runs of the replacement character as one.
func once(s string) string { return regexp.MustCompile("\ufffd+").ReplaceAllString(s, "\ufffd") }

// wellFormed holds every part of a workbook to XML 1.0.
func wellFormed(t *testing.T, content []byte) {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range archive.File {
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		d := xml.NewDecoder(r)
		for {
			_, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Errorf("%s: %v", part.Name, err)
				break
			}
		}
	}
}

// office is LibreOffice, an implementation of formulas that is not ours and not excelize's.
func office(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("LibreOffice is not installed")
	}
	return path
}

// recalculated lets LibreOffice work out workbooks, all in one go: it takes seconds to start.
func recalculated(t *testing.T, contents ...[]byte) (results []*excelize.File) {
	t.Helper()
	program, folder := office(t), t.TempDir()
	out := filepath.Join(folder, "out")
	arguments := []string{"-env:UserInstallation=file://" + filepath.Join(folder, "profile"), "--headless", "--convert-to", "xlsx", "--outdir", out}
	for i, content := range contents {
		in := filepath.Join(folder, fmt.Sprintf("%d.xlsx", i))
		if err := os.WriteFile(in, content, 0o600); err != nil {
			t.Fatal(err)
		}
		arguments = append(arguments, in)
	}
	if message, err := exec.Command(program, arguments...).CombinedOutput(); err != nil {
		t.Skipf("LibreOffice did not run: %v: %s", err, message)
	}
	for i := range contents {
		result, err := os.ReadFile(filepath.Join(out, fmt.Sprintf("%d.xlsx", i)))
		if err != nil {
			t.Skipf("LibreOffice wrote nothing: %v", err)
		}
		results = append(results, opened(t, result))
	}
	return results
}

var cachedValue = regexp.MustCompile(`(</f>)<v>[^<]*</v>`)

// uncached takes the cached values away, so that a program has to work them out.
func uncached(t *testing.T, content []byte) []byte {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	for _, part := range archive.File {
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		w, err := out.Create(part.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(cachedValue.ReplaceAll(text, []byte("$1"))); err != nil {
			t.Fatal(err)
		}
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestLibreOffice works out workbooks as they were issued, and that of a lot as it is with other limits.
func TestLibreOffice(t *testing.T) {
	if testing.Short() {
		t.Skip("LibreOffice takes some seconds")
	}
	fourWay, lot, changed := specimen.Assessment(specimen.Rules[2]), delivery(), delivery()
	contents := [][]byte{workbook(t, fourWay), workbook(t, lot), changedLimits(t, changed)}
	var bare [][]byte
	for _, content := range contents {
		bare = append(bare, uncached(t, content))
	}
	others := recalculated(t, bare...)
	t.Run("four-way", func(t *testing.T) { checkValues(t, fourWay, contents[0], others[0]) })
	t.Run("delivery", func(t *testing.T) { checkValues(t, lot, contents[1], others[1]) })
	t.Run("changed limits", func(t *testing.T) { checkChangedLimits(t, changed, others[2]) })
}

// checkValues holds what another program works out against what a workbook was written with, and against results.json.
func checkValues(t *testing.T, a *health.Assessment, content []byte, other *excelize.File) {
	t.Helper()
	n := 0
	formulas(t, opened(t, content), func(sheet, place, formula, cached string) {
		n++
		if got, _ := other.GetCellValue(sheet, place); !same(got, cached) {
			t.Errorf("%s!%s =%s gives %q there, %q here", sheet, place, formula, got, cached)
		}
	})
	if n < 500 {
		t.Errorf("only %d formulas were compared", n)
	}
	checkResults(t, a, other)
}

// reader is a script for openpyxl, a reader that is not ours: what it finds in a workbook.
const reader = `
import json, sys, openpyxl
formulas, values = openpyxl.load_workbook(sys.argv[1]), openpyxl.load_workbook(sys.argv[1], data_only=True)
json.dump({
    "sheets": formulas.sheetnames,
    "tables": sorted(t for s in formulas for t in s.tables),
    "charts": sum(len(s._charts) for s in formulas),
    "frozen": formulas["Results"].freeze_panes,
    "names": sorted(formulas.defined_names.keys() if hasattr(formulas.defined_names, "keys") else [d.name for d in formulas.defined_names.definedName]),
    "kind": formulas["Summary"]["A13"].data_type,
    "cell": values["Summary"]["A13"].value,
    "verdict": values["Summary"]["B3"].value,
    "formula": str(formulas["Summary"]["B3"].value)[:4],
    "empty": sum(1 for s in formulas for row in s.iter_rows() for c in row if c.data_type == "f" and values[s.title][c.coordinate].value is None),
    "title": formulas.properties.title,
}, sys.stdout)
`

// pythonWith is the first Python of the path that has a module.
func pythonWith(t *testing.T, module string) string {
	t.Helper()
	for _, folder := range filepath.SplitList(os.Getenv("PATH")) {
		python := filepath.Join(folder, "python3")
		if exec.Command(python, "-c", "import "+module).Run() == nil {
			return python
		}
	}
	t.Skipf("no Python here has %s", module)
	return ""
}

func TestOpenpyxlReads(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	python := pythonWith(t, "openpyxl")
	path := filepath.Join(t.TempDir(), "w.xlsx")
	if err := os.WriteFile(path, workbook(t, thinned(specimen.Assessment(specimen.Rules[2]), 3)), 0o600); err != nil {
		t.Fatal(err)
	}
	output, err := exec.Command(python, "-c", reader, path).Output()
	if err != nil {
		t.Fatalf("%v", err)
	}
	var got map[string]any
	if err := json.Unmarshal(output, &got); err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]any{
		"sheets": []any{"Summary", "Limits", "Results", "Criteria", "Grades", "Forecasts", "Baselines", "Uncertainty budget", "Fit parameters", "Quality", "Figures", "Spectra", "Settings", "Inputs"},
		"tables": []any{"baselines", "criteria", "fit_parameters", "forecasts", "grade_counts", "grade_limits", "grades", "inputs", "limits", "quality", "results", "settings", "spectra", "summary", "uncertainty_budget"},
		"charts": 12.0, "frozen": "B4", "kind": "s", "cell": "=LH+106", "verdict": "fail", "formula": "=IF(", "empty": 0.0, "title": "State of health of ferry cells",
	} {
		if !reflect.DeepEqual(got[key], want) {
			t.Errorf("%s: %v, want %v", key, got[key], want)
		}
	}
}
