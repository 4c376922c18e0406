package xlsx

import (
	"math"

	"github.com/xuri/excelize/v2"
)

// uprightWidth and pageWidth are how many characters of columns are legible, at some six points, on a page of A4 upright and across.
const (
	uprightWidth = 170
	pageWidth    = 250
)

// pages says how columns of so many characters lie on A4, and how many pages side by side they need to stay legible. What is
// read at a glance is one page wide.
func pages(key string, widths []float64) (orientation string, beside int) {
	total := 0.0
	for _, w := range widths {
		total += w
	}
	switch {
	case total <= uprightWidth:
		return "portrait", 1
	case key == "summary" || key == "limits":
		return "landscape", 1
	}
	return "landscape", int(math.Ceil(total / pageWidth))
}

// page sets up printing: A4, the first column and the head on each page.
func (s *sheet) page(key string, widths []float64, headRow int) {
	const a4 = 9
	orientation, beside := pages(key, widths)
	const side, end, running = 0.5, 0.75, 0.3 // margins in inches
	s.note(
		s.file.SetPageLayout(s.name, &excelize.PageLayoutOptions{Size: pointer(a4), Orientation: &orientation, FitToWidth: &beside, FitToHeight: pointer(0)}),
		s.file.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: pointer(true)}),
		s.file.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{Left: pointer(side), Right: pointer(side),
			Top: pointer(end), Bottom: pointer(end), Header: pointer(running), Footer: pointer(running)}),
		s.file.SetHeaderFooter(s.name, s.running()),
	)
	if headRow > 0 {
		titles := inSheet(s.name, "$A:$A") + "," + inSheet(s.name, "$"+number(headRow)+":$"+number(headRow))
		s.note(s.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: s.name, RefersTo: titles}))
	}
}

// Sheets with a row for each measurement, point or file, or with some for each cell beside its line of the summary, are looked up and
// seldom printed whole: from mostPrinted rows on they print the first of them.
const (
	mostPrinted = 150
	firstOfMany = 50
)

// bulky are those sheets.
var bulky = map[string]bool{"results": true, "fits": true, "quality": true, "spectra": true, "inputs": true,
	"criteria": true, "budget": true, "grades": true, "baselines": true}

// curtail has a long bulky sheet print its first rows, and say so in the footer.
func (s *sheet) curtail() {
	rows := s.last - firstRow + 1
	if !bulky[s.key] || rows < mostPrinted {
		return
	}
	area := inSheet(s.name, "$A$1:$"+letterOf(max(1, s.widest))+"$"+number(firstRow+firstOfMany-1))
	footer := s.running()
	footer.OddFooter = "&L&A&C" + headerText(s.say("printed", map[string]any{"Printed": firstOfMany, "Rows": rows})) + "&R&P / &N"
	s.note(
		s.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: s.name, RefersTo: area}),
		s.file.SetHeaderFooter(s.name, footer),
	)
}

// running are header and footer: whose report, which, which sheet, page n of m.
func (s *sheet) running() *excelize.HeaderFooterOptions {
	job := s.doc.Assessment.Job
	const longest = 50 // both parts, each & doubled, share the 255 characters that the format allows
	header := "&L" + headerText(clip(job.Laboratory.Name, longest)) + "&R" + headerText(clip(job.Report.Number, longest))
	return &excelize.HeaderFooterOptions{OddHeader: header, OddFooter: "&L&A&R&P / &N"}
}
