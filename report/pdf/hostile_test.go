package pdf

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"ohmledger/report"
)

// hostileText is what a typeface, a template, a document format or a line breaker may stumble over.
const hostileText = "Ω µ 中文 😀𝔸 \x00\x07\u202Eabc\u202C \u200B\u00ADsoft {{.Name}} _{ct} ^{2 (a) \\ %PDF 1 0 R \xff\xfe e\u0301 مرحبا <b>&amp;</b> =1+1 \r\nnext\tline {nb} ½"

// everyText puts a text into every field of a document that holds text.
func everyText(d *report.Document, text string) {
	j := d.Assessment.Job
	for _, field := range []*string{
		&j.Report.Number, &j.Report.Title, &j.Report.Amends, &j.Report.Item, &j.Report.Remarks, &j.Report.Tested, &j.Report.PreparedBy, &j.Report.AuthorisedBy,
		&j.Report.Customer.Name, &j.Report.Customer.Address, &j.Report.Customer.Reference,
		&j.Laboratory.Name, &j.Laboratory.Address, &j.Laboratory.Contact, &j.Laboratory.Accreditation, &j.Laboratory.Accent,
		&j.Cell.Maker, &j.Cell.Model, &j.Cell.Chemistry, &j.Cell.Format, &j.Instrument.Name, &j.GroupBy, &j.Wording,
		&d.Tool.Name, &d.Tool.Version, &d.Tool.Build, &d.Assessment.Temperature.Note,
	} {
		*field = text
	}
	j.ExtraColumns, d.Blank = []string{text, text}, []string{text}
	for i := range d.Inputs {
		d.Inputs[i].File = text
	}
	for i := range d.Assessment.Cells.Len() {
		everyTextOfCell(d, i, text)
	}
}

func everyTextOfCell(d *report.Document, index int, text string) {
	c := d.Assessment.Cells.At(index)
	c.Name, c.Reason, c.Grade, c.ArcsChoice, c.Baseline.Note = text, text, text, text, text
	for i := range c.Measurements {
		m := &c.Measurements[i]
		r := m.Row
		r.Instrument, r.Fixture, r.Operator, r.Remarks, r.Sensing, m.Quality.AcceptedByHand = text, text, text, text, text, text
		for k := range m.Quality.Findings {
			m.Quality.Findings[k].Message, m.Quality.Findings[k].Advice = text, text
		}
		for k := range m.Fit.Excluded {
			m.Fit.Excluded[k].Reason = text
		}
	}
	for i := range c.Criteria {
		c.Criteria[i].Reason = text
		for k := range c.Criteria[i].Contributions {
			c.Criteria[i].Contributions[k].Source = text
		}
	}
}

// TestLittleIsEnough: a job may have no cell, or a cell no measurement.
func TestLittleIsEnough(t *testing.T) {
	for cells, want := range map[int]string{0: "0 cells in all", 1: "No measurement could be judged"} {
		all := strings.Join(pagesOf(t, bytesOf(t, Options{}, specimen(t, cells, 0))), " ")
		if !strings.Contains(all, want) || strings.Contains(all, "every cell passed") {
			t.Errorf("%d cells without measurements: %s", cells, all[:min(len(all), 1500)])
		}
	}
}

func TestHostileTextDoesNotPanic(t *testing.T) {
	if testing.Short() {
		t.Skip("makes many pages")
	}
	for name, text := range map[string]string{
		"hostile": hostileText, "blank": "", "one word": strings.Repeat("W", 5000), "marks": strings.Repeat("_{", 1500),
		"spaces": strings.Repeat(" ", 3000), "lines": strings.Repeat("line\n", 200), "invalid": strings.Repeat("\xc3", 300),
	} {
		t.Run(name, func(t *testing.T) {
			d := specimen(t, 5, 2)
			d.Assessment.Cells = d.Assessment.Cells.Between(4, 5) // the one that has a finding
			everyText(d, text)
			if len(bytesOf(t, Options{}, d)) == 0 {
				t.Error("no bytes")
			}
		})
	}
}

// TestAnyTextGivesAReport draws texts from what is hostile: whatever a job holds, a report comes of it,
// the same each time. (A fuzz target makes some ten reports a minute only.)
func TestAnyTextGivesAReport(t *testing.T) {
	if testing.Short() {
		t.Skip("makes many pages")
	}
	random := rand.New(rand.NewPCG(5, 8))
	signs := []rune(hostileText + "_{}^\u2060 \n\t0123456789abc-–/")
	for i := range 16 {
		text := ""
		for range random.IntN(600) {
			text += string(signs[random.IntN(len(signs))])
		}
		d := specimen(t, 1, 2)
		everyText(d, text)
		first := bytesOf(t, Options{}, d)
		if !bytes.HasPrefix(first, []byte("%PDF-")) {
			t.Errorf("%q: no report", text)
		}
		if i%4 == 0 && !bytes.Equal(first, bytesOf(t, Options{}, d)) {
			t.Errorf("%q: another report each time", text)
		}
	}
}
