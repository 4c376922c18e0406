package spectrum

import (
	"archive/zip"
	"bytes"
	"io"
	"runtime"
	"strings"
	"testing"
	"time"
)

// rebuild writes a workbook with some of its parts replaced.
func rebuild(t testing.TB, replace map[string]string) []byte {
	t.Helper()
	sound := workbook(t, false, []any{"frequency_hz", "z_real_ohm", "z_imag_ohm"}, []any{3, 1, -1}, []any{2, 1, -1}, []any{1, 1, -1})
	in, err := zip.NewReader(bytes.NewReader(sound), int64(len(sound)))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	for _, part := range in.File {
		w, err := out.Create(part.Name)
		if err != nil {
			t.Fatal(err)
		}
		if text, ok := replace[part.Name]; ok {
			io.WriteString(w, text)
			continue
		}
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(w, r); err != nil {
			t.Fatal(err)
		}
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

const sheetPart = "xl/worksheets/sheet1.xml"

// sheetXML is a sheet of the given rows.
func sheetXML(rows string) string { return element("worksheet", "<sheetData>"+rows+"</sheetData>") }

func element(name, content string) string {
	return "<" + name + ` xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">` + content + "</" + name + ">"
}

const headRow = `<row r="1"><c r="A1" t="inlineStr"><is><t>frequency_hz</t></is></c><c r="B1" t="inlineStr"><is><t>z_real_ohm</t></is></c><c r="C1" t="inlineStr"><is><t>z_imag_ohm</t></is></c></row>`

func TestWorkbookRefusals(t *testing.T) {
	for name, test := range map[string]struct {
		data []byte
		want string
	}{
		"text of that name":   {[]byte("frequency_hz,z_real_ohm,z_imag_ohm\n"), "no workbook, though its name says so"},
		"old format":          {[]byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1 and more"), "older form .xls, or one with a password"},
		"half of a file":      {rebuild(t, nil)[:2000], "damaged or not all there"},
		"no XML":              {rebuild(t, map[string]string{sheetPart: "frequency"}), "a.xlsx: empty; a header row"},
		"XML that breaks off": {rebuild(t, map[string]string{sheetPart: strings.TrimSuffix(sheetXML(headRow+`<row r="2"><c r="A2"><v>3</v></c>`), "</sheetData></worksheet>")}), "damaged workbook"},
		"blank":               {rebuild(t, map[string]string{sheetPart: sheetXML("")}), "a.xlsx: empty; a header row"},
		"far column":          {rebuild(t, map[string]string{sheetPart: sheetXML(headRow + `<row r="2"><c r="XFD2"><v>3</v></c></row>`)}), "a.xlsx:2: row of 16384 cells; at most 1000 are allowed"},
		"no such column":      {rebuild(t, map[string]string{sheetPart: sheetXML(headRow + `<row r="2"><c r="ZZZZ2"><v>3</v></c></row>`)}), "a.xlsx:2: damaged row"},
		"too wide":            {rebuild(t, map[string]string{sheetPart: sheetXML(headRow + `<row r="2"><c r="A2"><v>3</v></c><c r="D2"><v>3</v></c></row>`)}), "a.xlsx:2:4: row of 4 cells under a header of 3"},
		"text and error":      {rebuild(t, map[string]string{sheetPart: sheetXML(headRow + `<row r="2"><c r="A2" t="e"><v>#DIV/0!</v></c><c r="B2" t="b"><v>1</v></c></row>`)}), "a.xlsx:2:1: frequency_hz: \"#DIV/0!\" where a number is needed\na.xlsx:2:2: z_real_ohm: \"TRUE\" where a number is needed\na.xlsx:2:3: z_imag_ohm: blank where a number is needed"},
		"unknown text":        {rebuild(t, map[string]string{sheetPart: sheetXML(headRow + `<row r="2"><c r="A2" t="s"><v>99</v></c><c r="B2"><v>1</v></c><c r="C2"><v>1</v></c></row>`)}), "a.xlsx:2:1: frequency_hz: blank where a number is needed"},
		"styles break off":    {rebuild(t, map[string]string{"xl/styles.xml": "<styleSheet><cellXfs>"}), "damaged or not all there"},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := Read("a.xlsx", test.data, Columns{})
			if s != nil || err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("%v; want %s", err, test.want)
			}
		})
	}
}

// What a small file can be blown up to is bounded in memory and time.
func TestWorkbookBombs(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	most := spectrumBounds
	repeat := func(text string) string {
		return strings.Repeat(text, min((most.unzipped-1<<18)/len(text), most.tags*9/10/strings.Count(text+"<", "<")))
	}
	for name, replace := range map[string]map[string]string{
		"beyond the bytes":     {sheetPart: sheetXML("<row>" + strings.Repeat(" ", most.unzipped) + "</row>")},
		"beyond the tags":      {sheetPart: sheetXML(strings.Repeat("<row/>", most.tags))},
		"blank cells far out":  {sheetPart: sheetXML(repeat(`<row><c r="XFD1"/></row>`))},
		"cells far out":        {sheetPart: sheetXML(repeat(`<row><c r="XFD1"><v>1</v></c></row>`))},
		"cells at the limit":   {sheetPart: sheetXML(headRow + repeat(`<row><c r="A1"><v>1</v></c><c r="ALL1"><v>1</v></c></row>`))},
		"empty rows":           {sheetPart: sheetXML(repeat("<row/>"))},
		"empty shared strings": {"xl/sharedStrings.xml": element("sst", repeat("<si/>"))},
		"styles":               {"xl/styles.xml": element("styleSheet", "<cellXfs>"+repeat(`<xf numFmtId="14"/>`)+"</cellXfs>")},
		"one long text":        {sheetPart: sheetXML("<row><c t=\"inlineStr\"><is><t>" + repeat("x") + "</t></is></c></row>")},
		"deep nesting":         {sheetPart: sheetXML(repeat("<row>"))},
		"many sheets":          {"xl/workbook.xml": element("workbook", "<sheets>"+repeat(`<sheet name="a" sheetId="1"/>`)+"</sheets>")},
	} {
		t.Run(name, func(t *testing.T) {
			data := rebuild(t, replace)
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			s, err := Read("a.xlsx", data, Columns{})
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			allocated := (after.TotalAlloc - before.TotalAlloc) >> 20
			t.Logf("%d bytes: %v, %d MiB allocated in all, %.100v", len(data), took, allocated, err)
			if took > time.Minute || allocated > 1024 || err == nil && s == nil {
				t.Errorf("%v, %d MiB, %v", took, allocated, err)
			}
		})
	}
}
