package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/xuri/excelize/v2"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/pdf"
	"ohmledger/report/xlsx"
	"ohmledger/templates"
)

// englishWords are words of English sentences and of the trade that no German sentence has. German has "was", "in", "an", "so",
// "will", "first" as a setting's value, and others, which are not among them.
var englishWords = strings.Fields(`the of and is are with not by from for its it that this these which where when no at on than then into
	be been being as to or if has have had there their they them only each every both other others between within beyond against under
	over about after before because does do cannot could would should may might more less least most few many one two three
	cell cells spectrum spectra measurement measurements fit fitted uncertainty baseline resistance growth verdict pass fail
	rejected reject accepted warning note finding findings limit limits value values temperature charge state arc arcs leads
	sweep clip tab excitation points point frequency share grade lot sample reason point per page issued report customer`)

// machine words are keys of job.yaml, names of files, digests, addresses: they are the same in every language.
var machineWord = regexp.MustCompile(`[_/@\[\]=]|\w\.\w{2,}|[0-9a-f]{16}`)

// decimalPoint is a number as English writes it; dates and versions have two points.
var decimalPoint = regexp.MustCompile(`^[−+±(]*\d+\.\d+(\(\d+\))?[);,]?$`)

// leftInEnglish lists the words of a German text that are English, with what stands around each.
func leftInEnglish(text string) (found []string) {
	words := strings.Fields(text)
	for i, word := range words {
		bare := strings.ToLower(strings.TrimFunc(word, func(r rune) bool { return !unicode.IsLetter(r) && r != '_' && r != '/' }))
		if machineWord.MatchString(word) || bare == "" && !decimalPoint.MatchString(word) {
			continue
		}
		if slices.Contains(englishWords, bare) || decimalPoint.MatchString(word) {
			found = append(found, strings.Join(words[max(0, i-4):min(len(words), i+5)], " "))
		}
	}
	return found
}

// TestTheDetectorDetects: the English report of the same job is found out at every turn.
func TestTheDetectorDetects(t *testing.T) {
	text := "Each cell is judged on its latest accepted measurement, 1.23 Ω. Die Zelle war bei 25,3 °C, job.yaml nennt of_the."
	if got := leftInEnglish(text); len(got) != 7 {
		t.Errorf("%d found: %q", len(got), got)
	}
}

// inGerman takes out of a job what its writer wrote in a language of his own, which a report only quotes.
func inGerman(j *job.Job) {
	j.Language = "de"
	r := &j.Report
	r.Title, r.Item, r.Remarks, r.Tested = "Zustand von Speicherzellen", "Acht Zellen", "Erfundene Vorführung.", "12.03.2024 bis 10.03.2026"
	r.Customer = job.Customer{Name: "Gezeitenmühle", Address: "Mühlendamm", Reference: "118"}
	r.PreparedBy, r.AuthorisedBy = "Prüfplatz A", ""
	j.Laboratory.Name, j.Laboratory.Address, j.Laboratory.Contact = "Batteriehaus", "Reeperhof 2", ""
	j.Cell.Maker, j.Instrument.Name = "Zaunkönig", "Messplatz 2"
	for i := range j.Measurements {
		m := &j.Measurements[i]
		m.Fixture, m.Operator, m.Remarks = strings.ReplaceAll(m.Fixture, "clip block", "Klemmblock"), "", ""
	}
}

// germanJobs are the demonstration, and what else may be asked of it: together they bring up most of what a report can say.
var germanJobs = map[string]func(j *job.Job){
	"demonstration": func(*job.Job) {},
	"reference cells, four-way, no correction": func(j *job.Job) {
		j.Baseline = job.Baseline{Source: job.ReferenceCells, Cells: []string{"TM-01", "TM-02", "TM-07"}}
		j.DecisionRule.Kind, j.TemperatureCorrection.Source = job.FourWay, job.CorrectionNone
		j.Sampling = &job.Sampling{Standard: "attributes", LotSize: 500, AQL: 1, Level: "II", Severity: "normal"}
	},
	"declared, simple, measured correction": func(j *job.Job) {
		j.Baseline = job.Baseline{Source: job.Declared, Ohmic: &job.Stated{Value: 0.021, StandardUncertainty: 0.0002}}
		j.DecisionRule.Kind, j.TemperatureCorrection.Source = job.Simple, job.CorrectionMeasured
		j.Limits = append(j.Limits, job.Limit{Quantity: job.ACResistance1kHzOhm, Side: job.Max, Bound: 0.04},
			job.Limit{Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.03}, job.Limit{Quantity: job.ResistanceStateOfHealth, Side: job.Min, Bound: 0.1},
			job.Limit{Quantity: job.TotalResistanceGrowth, Side: job.Max, Bound: 2}, job.Limit{Quantity: job.CapacityAh, Side: job.Min, Bound: 2})
		j.Grouping = &job.Grouping{Size: 3, Arrangement: "series", By: []job.Quantity{job.ChargeTransferOhm, job.OhmicOhm}}
	},
	"much left blank, rejected accepted by hand": func(j *job.Job) {
		j.Report, j.Laboratory, j.Cell, j.Instrument.CalibrationDue = job.Report{}, job.Laboratory{}, job.CellType{Format: "18650"}, j.Report.Received
		for i := range j.Measurements {
			m := &j.Measurements[i]
			m.Accept, m.SOCPercent, m.RestMinutes, m.Sensing, m.Fixture = "gesehen und für gut befunden", nil, nil, "", ""
			m.TemperatureC += 12 * float64(i%3)
		}
	},
}

// germanReport judges the demonstration's job with changes, in German.
func germanReport(t *testing.T, change func(*job.Job)) (*report.Document, *record) {
	t.Helper()
	r, err := readRecord(context.Background(), must(fs.Sub(templates.FS(), "demo")), &meter{})
	if err != nil {
		t.Fatal(err)
	}
	inGerman(r.job)
	change(r.job)
	for i := range r.inputs {
		r.inputs[i].Row = &r.job.Measurements[i]
	}
	d, err := worded(context.Background(), r, report.Options{Tool: tool(), Templates: templates.FS()}, health.Evidence{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return d, r
}

// TestNoEnglishInGermanReports goes through all that a German report says, in each of its formats.
func TestNoEnglishInGermanReports(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	for name, change := range germanJobs {
		t.Run(name, func(t *testing.T) {
			d, r := germanReport(t, change)
			for format, text := range map[string]func(*testing.T, *report.Document, *record) string{"PDF": textOfPDF, "workbook": textOfWorkbook, "results.json": sentencesOfResults} {
				found := leftInEnglish(text(t, d, r))
				slices.Sort(found)
				for _, f := range slices.Compact(found) {
					t.Errorf("%s: … %s …", format, f)
				}
			}
		})
	}
}

func textOfPDF(t *testing.T, d *report.Document, r *record) string {
	file := filepath.Join(t.TempDir(), "report.pdf")
	var b bytes.Buffer
	if err := (pdf.Options{Logo: r.logo}).Write(&b, d); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Skipf("pdftotext: %v", err)
	}
	return string(text)
}

func textOfWorkbook(t *testing.T, d *report.Document, _ *record) string {
	var b bytes.Buffer
	if err := xlsx.Write(&b, d); err != nil {
		t.Fatal(err)
	}
	book, err := excelize.OpenReader(&b)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	var text []string
	for _, sheet := range book.GetSheetList() {
		text = append(text, sheet)
		for _, row := range must(book.GetRows(sheet, excelize.Options{RawCellValue: true})) {
			for _, cell := range row {
				if strings.ContainsFunc(cell, unicode.IsLetter) { // not a number: cells hold these with a point
					text = append(text, cell)
				}
			}
		}
	}
	return strings.Join(text, "\n")
}

// sentencesOfResults are those members of results.json that people read.
func sentencesOfResults(t *testing.T, d *report.Document, _ *record) string {
	var b bytes.Buffer
	if err := report.WriteResults(&b, d); err != nil {
		t.Fatal(err)
	}
	var all any
	if err := json.Unmarshal(b.Bytes(), &all); err != nil {
		t.Fatal(err)
	}
	return strings.Join(sentences(all), "\n")
}

var forPeople = []string{"reason", "reasons", "message", "advice", "note", "text", "choice"}

func sentences(v any) (list []string) {
	switch v := v.(type) {
	case map[string]any:
		for key, member := range v {
			if text, ok := member.(string); ok && slices.Contains(forPeople, key) {
				list = append(list, text)
			}
			list = append(list, sentences(member)...)
		}
	case []any:
		for _, item := range v {
			list = append(list, sentences(item)...)
		}
	}
	return list
}
