package xlsx_test

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"ohmledger/health"
	"ohmledger/report/internal/specimen"
)

// Rules of the format that programs offer to repair a file for (Excel specifications and limits, Microsoft; from memory,
// but for those of ISO/IEC 29500-1 named beside them).
const (
	longestSheetName = 31
	longestFormula   = 8192
	longestText      = 32767
	longestHead      = 255
	mostColumns      = 16384
	mostHeaderFooter = 255
	mostFormats      = 64000
)

// worksheet is what a part of a sheet says, as far as the rules go.
type worksheet struct {
	Rows []struct {
		R     int `xml:"r,attr"`
		Cells []struct {
			R       string  `xml:"r,attr"`
			Style   int     `xml:"s,attr"`
			Type    string  `xml:"t,attr"`
			Formula *string `xml:"f"`
			Value   string  `xml:"v"`
			Text    string  `xml:"is>t"`
		} `xml:"c"`
	} `xml:"sheetData>row"`
	Merged []struct {
		Ref string `xml:"ref,attr"`
	} `xml:"mergeCells>mergeCell"`
	Rules []struct {
		Ref  string `xml:"sqref,attr"`
		Rule []struct {
			Format int `xml:"dxfId,attr"`
		} `xml:"cfRule"`
	} `xml:"conditionalFormatting"`
	Header string `xml:"headerFooter>oddHeader"`
	Footer string `xml:"headerFooter>oddFooter"`
}

// styleSheet counts formats of cells, and those of conditions.
type styleSheet struct {
	Cells   []struct{} `xml:"cellXfs>xf"`
	Rules   []struct{} `xml:"dxfs>dxf"`
	Formats []struct {
		ID   int    `xml:"numFmtId,attr"`
		Code string `xml:"formatCode,attr"`
	} `xml:"numFmts>numFmt"`
}

// parts of an archive by their names.
func parts(t *testing.T, content []byte) map[string][]byte {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	list, seen := map[string][]byte{}, map[string]bool{}
	for _, f := range archive.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if list[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
		if seen[strings.ToLower(f.Name)] {
			t.Errorf("%s stands in the archive twice", f.Name)
		}
		seen[strings.ToLower(f.Name)] = true
	}
	return list
}

func unmarshalled[T any](t *testing.T, part []byte) (v T) {
	t.Helper()
	if err := xml.Unmarshal(part, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// TestFormatRules holds workbooks of every kind to the rules of the format.
func TestFormatRules(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	all := assessments()
	all["hostile"], all["long"], all["escapes"] = poisoned("=1\x01\u202e😀]]>&<"), poisoned(strings.Repeat("ä😀", 20000)), poisoned("_x000D_ _x005F_x0041_")
	for name, a := range all {
		checkFormat(t, name, workbook(t, a))
	}
}

func checkFormat(t *testing.T, name string, content []byte) {
	t.Helper()
	wellFormed(t, content)
	list := parts(t, content)
	styles := unmarshalled[styleSheet](t, list["xl/styles.xml"])
	if len(styles.Cells) > mostFormats {
		t.Errorf("%s: %d formats of cells", name, len(styles.Cells))
	}
	f := opened(t, content)
	checkNames(t, name, f)
	tables := map[string]string{}
	for part, text := range list {
		switch {
		case strings.HasPrefix(part, "xl/worksheets/sheet"):
			checkSheet(t, name+": "+part, unmarshalled[worksheet](t, text), styles)
		case strings.HasPrefix(part, "xl/tables/"):
			table := unmarshalled[tablePart](t, text)
			if other := tables[strings.ToLower(table.Name)]; other != "" || !nameOfTable.MatchString(table.Name) {
				t.Errorf("%s: the table of %s is called %q, as that of %q", name, part, table.Name, other)
			}
			tables[strings.ToLower(table.Name)] = part
			for _, c := range table.Columns {
				if n := len(utf16.Encode([]rune(c.Name))); n > longestHead {
					t.Errorf("%s: %s has a head of %d characters", name, part, n)
				}
			}
		}
	}
	for _, defined := range f.GetDefinedName() {
		if tables[strings.ToLower(defined.Name)] != "" {
			t.Errorf("%s: %s is a table and a name", name, defined.Name)
		}
	}
	checkRelations(t, name, list)
}

var (
	nameOfTable = regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_.]*$`)
	nameOfCell  = regexp.MustCompile(`(?i)^([a-z]{1,3}\d+|r\d*c?\d*|c\d*)$`)
)

// checkNames holds names of sheets and cells to what references can be made of.
func checkNames(t *testing.T, name string, f *excelize.File) {
	t.Helper()
	seen := map[string]bool{}
	for _, sheet := range f.GetSheetList() {
		if n := len(utf16.Encode([]rune(sheet))); n == 0 || n > longestSheetName || strings.ContainsAny(sheet, `[]:*?/\`) || strings.Trim(sheet, "'") != sheet || seen[strings.ToLower(sheet)] {
			t.Errorf("%s: a sheet is called %q", name, sheet)
		}
		seen[strings.ToLower(sheet)] = true
	}
	seen = map[string]bool{}
	for _, defined := range f.GetDefinedName() {
		key := strings.ToLower(defined.Name + "\x00" + defined.Scope)
		if !strings.HasPrefix(defined.Name, "_xlnm.") && (!nameOfTable.MatchString(defined.Name) || nameOfCell.MatchString(defined.Name)) || seen[key] {
			t.Errorf("%s: a cell is called %q", name, defined.Name)
		}
		seen[key] = true
	}
}

func checkSheet(t *testing.T, name string, w worksheet, styles styleSheet) {
	t.Helper()
	last := 0
	for _, row := range w.Rows {
		if row.R <= last || row.R > excelize.TotalRows {
			t.Errorf("%s: row %d stands after row %d", name, row.R, last)
		}
		last = row.R
		before := 0
		for _, c := range row.Cells {
			column, at, err := excelize.CellNameToCoordinates(c.R)
			if err != nil || at != row.R || column <= before || column > mostColumns {
				t.Errorf("%s: %s stands in row %d after column %d (%v)", name, c.R, row.R, before, err)
			}
			before = column
			if c.Style >= len(styles.Cells) {
				t.Errorf("%s: %s has the format %d of %d", name, c.R, c.Style, len(styles.Cells))
			}
			text := c.Text
			if c.Type == "str" {
				text = c.Value
			}
			if n := len(utf16.Encode([]rune(text))); n > longestText+len("_x005F_")*strings.Count(text, "_x005F_") {
				t.Errorf("%s: %s holds %d characters", name, c.R, n)
			}
			if c.Formula != nil && (len(utf16.Encode([]rune(*c.Formula))) > longestFormula || *c.Formula == "") {
				t.Errorf("%s: %s has a formula of %d characters", name, c.R, len(*c.Formula))
			}
			if x, err := strconv.ParseFloat(c.Value, 64); c.Type == "" && c.Value != "" && (err != nil || x-x != 0) {
				t.Errorf("%s: %s holds the number %q", name, c.R, c.Value)
			}
		}
	}
	for _, text := range []string{w.Header, w.Footer} {
		if n := len(utf16.Encode([]rune(text))); n > mostHeaderFooter {
			t.Errorf("%s: a header or footer of %d characters", name, n)
		}
	}
	for _, r := range w.Rules {
		for _, rule := range r.Rule {
			if rule.Format >= len(styles.Rules) {
				t.Errorf("%s: %s has the conditional format %d of %d", name, r.Ref, rule.Format, len(styles.Rules))
			}
		}
	}
	checkMerged(t, name, w)
}

// checkMerged: no two merged ranges overlap.
func checkMerged(t *testing.T, name string, w worksheet) {
	t.Helper()
	taken := map[int]string{}
	for _, m := range w.Merged {
		from, to, _ := strings.Cut(m.Ref, ":")
		_, first, _ := excelize.CellNameToCoordinates(from)
		_, last, _ := excelize.CellNameToCoordinates(to)
		if first != last || taken[first] != "" {
			t.Errorf("%s: %s is merged, as is %q", name, m.Ref, taken[first])
		}
		taken[first] = m.Ref
	}
}

// checkRelations: what a part refers to is in the archive.
func checkRelations(t *testing.T, name string, list map[string][]byte) {
	t.Helper()
	type relations struct {
		List []struct {
			Target string `xml:"Target,attr"`
			Mode   string `xml:"TargetMode,attr"`
		} `xml:"Relationship"`
	}
	for part, text := range list {
		if !strings.HasSuffix(part, ".rels") {
			continue
		}
		for _, r := range unmarshalled[relations](t, text).List {
			target := strings.TrimPrefix(r.Target, "/")
			if !strings.HasPrefix(r.Target, "/") {
				target = path.Join(path.Dir(path.Dir(part)), r.Target)
			}
			if _, ok := list[target]; !ok && r.Mode != "External" {
				t.Errorf("%s: %s refers to %s, which is not there", name, part, target)
			}
		}
	}
}

// Dates are those that the 1900 date system has: none before its first day.
func TestDatesBefore1900AreWords(t *testing.T) {
	a := specimen.Lot(2, 3)
	for i := range a.Cells.Len() {
		a.Cells.At(i).Measurements[0].Row.MeasuredAt = a.Cells.At(i).Measurements[0].Row.MeasuredAt.AddDate(-200, 0, 0)
		a.Cells.At(i).Baseline.MeasuredAt = a.Cells.At(i).Measurements[0].Row.MeasuredAt
	}
	f := opened(t, workbook(t, a))
	if got, _ := f.GetCellValue("Results", "B4"); !strings.HasPrefix(got, "1824-") {
		t.Errorf("%q, want a day in words", got)
	}
	if got, _ := f.GetCellValue("Baselines", "C4"); !strings.HasPrefix(got, "1824-") {
		t.Errorf("%q, want a day in words", got)
	}
}

// A workbook with hundreds of limits has no formula that is too long.
func TestHundredsOfLimits(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	a := specimen.Lot(2, 1)
	for i := 0; i < 400; i++ {
		a.Job.Limits = append(a.Job.Limits, a.Job.Limits[0])
		for k := range a.Cells.Len() {
			a.Cells.At(k).Criteria = append(a.Cells.At(k).Criteria, a.Cells.At(k).Criteria[0])
		}
	}
	checkFormat(t, "hundreds of limits", workbook(t, a))
}

// A printed page keeps head and foot apart from the table, and what is read at a glance is one page wide.
func TestPrintSetUp(t *testing.T) {
	f := opened(t, workbook(t, specimen.Lot(2, 1)))
	for i, name := range f.GetSheetList() {
		m, err := f.GetPageMargins(name)
		if err != nil {
			t.Fatal(err)
		}
		if !(*m.Header > 0.2 && *m.Top > *m.Header+0.3 && *m.Footer > 0.2 && *m.Bottom > *m.Footer+0.3) {
			t.Errorf("%s: margins of top %v, header %v, bottom %v, footer %v", name, *m.Top, *m.Header, *m.Bottom, *m.Footer)
		}
		layout, err := f.GetPageLayout(name)
		if err != nil {
			t.Fatal(err)
		}
		if i < 2 && *layout.FitToWidth != 1 {
			t.Errorf("%s is %d pages wide", name, *layout.FitToWidth)
		}
	}
}

// areas are what sheets print, where that is not all of them.
func areas(t *testing.T, a *health.Assessment) map[string]string {
	list := map[string]string{}
	for _, n := range opened(t, workbook(t, a)).GetDefinedName() {
		if n.Name == "_xlnm.Print_Area" {
			list[n.Scope] = n.RefersTo
		}
	}
	return list
}

// The charts of two cells stand on a page; where the numbers beside them reach farther down than charts do, those of one, so that no
// chart is cut and no page blank.
func TestChartsArePrintedWhole(t *testing.T) {
	for want, a := range map[string]*health.Assessment{
		"'Figures'!$A$1:$O$54,'Figures'!$A$55:$O$78":                        specimen.Lot(3, 2),
		"'Figures'!$A$1:$O$30,'Figures'!$A$49:$O$72,'Figures'!$A$91:$O$114": specimen.Lot(3, 40),
	} {
		if got := areas(t, a)["Figures"]; got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// What has a row for each measurement or point, or more than one for each cell, prints its first rows where there are many, and says
// of how many; all else is printed whole.
func TestLongSheetsPrintTheirFirstRows(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	if few := areas(t, specimen.Lot(2, 1)); few["Spectra"] != "" || few["Results"] != "" {
		t.Errorf("%v", few)
	}
	a := specimen.Lot(200, 2)
	many := areas(t, a)
	for sheet, last := range map[string]string{"Spectra": "$53", "Results": "$53", "Fit parameters": "$53", "Summary": "",
		"Criteria": "$53", "Uncertainty budget": "$53", "Grades": "$53", "Baselines": "$53"} {
		if got := many[sheet]; !strings.HasSuffix(got, last) || last == "" && got != "" {
			t.Errorf("%s prints %q", sheet, got)
		}
	}
	foot, err := opened(t, workbook(t, a)).GetHeaderFooter("Results")
	if err != nil || !strings.Contains(foot.OddFooter, "The first 50 of 400 rows") {
		t.Errorf("%+v, %v", foot, err)
	}
}

// A value of the summary and what is said of its uncertainty beside it have as many digits.
func TestSummaryStatesValueAndUncertaintyAlike(t *testing.T) {
	const headRow = 7
	f := opened(t, workbook(t, specimen.Lot(30, 2)))
	rows, err := f.GetRows("Summary")
	if err != nil {
		t.Fatal(err)
	}
	format := func(column, row int) string {
		place, _ := excelize.CoordinatesToCellName(column, row)
		id, _ := f.GetCellStyle("Summary", place)
		style, err := f.GetStyle(id)
		if err != nil {
			t.Fatal(err)
		}
		if style.CustomNumFmt == nil {
			return strconv.Itoa(style.NumFmt)
		}
		return *style.CustomNumFmt
	}
	compared := 0
	for c, head := range rows[headRow-1] {
		if !strings.HasSuffix(head, "uncertainty U") && !strings.HasSuffix(head, "lower end of coverage interval") {
			continue
		}
		for r := headRow; r < len(rows); r++ {
			if c >= len(rows[r]) || !strings.ContainsAny(rows[r][c], "0123456789") {
				continue
			}
			compared++
			if value, beside := format(c, r+1), format(c+1, r+1); value != beside {
				t.Errorf("row %d, %s: %q beside %q", r+1, head, value, beside)
			}
		}
	}
	if compared < 30 {
		t.Errorf("%d are compared; heads %q", compared, rows[headRow-1])
	}
}
