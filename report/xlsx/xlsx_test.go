package xlsx_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/internal/specimen"
	"ohmledger/report/xlsx"
)

func document(t testing.TB, a *health.Assessment) *report.Document {
	t.Helper()
	d, err := report.New(a, report.Options{Tool: report.Tool{Name: "ohmledger", Version: "0.0"}, Templates: os.DirFS("../../templates")})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func workbook(t testing.TB, a *health.Assessment) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := xlsx.Write(&b, document(t, a)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func opened(t testing.TB, content []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(content), excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

// formulas calls visit for every cell that holds a formula.
func formulas(t *testing.T, f *excelize.File, visit func(sheet, place, formula, cached string)) {
	t.Helper()
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, cached := range row {
				place, _ := excelize.CoordinatesToCellName(c+1, r+1)
				if formula, err := f.GetCellFormula(sheet, place); err == nil && formula != "" {
					visit(sheet, place, formula, cached)
				}
			}
		}
	}
}

// same reports whether two contents are the same text, or numbers as equal as 15 stored digits allow.
func same(a, b string) bool {
	x, errA := strconv.ParseFloat(a, 64)
	y, errB := strconv.ParseFloat(b, 64)
	if errA != nil || errB != nil {
		return a == b
	}
	const tolerance = 1e-12
	return math.Abs(x-y) <= tolerance*math.Max(1, math.Abs(x))
}

// thinned leaves the first points of every spectrum: what is not about points has less to write and to read.
func thinned(a *health.Assessment, points int) *health.Assessment {
	for _, c := range a.Cells.All() {
		for k := range c.Measurements {
			s, r := c.Measurements[k].Spectrum, c.Measurements[k].Fit
			s.Frequency, s.Impedance, s.Line = s.Frequency[:points], s.Impedance[:points], s.Line[:points]
			r.Fitted, r.Residuals = r.Fitted[:min(points, len(r.Fitted))], r.Residuals[:min(points, len(r.Residuals))]
		}
	}
	return a
}

// assessments of every kind that a workbook has to hold.
func assessments() map[string]*health.Assessment {
	return map[string]*health.Assessment{
		"simple": specimen.Assessment(specimen.Rules[0]), "guarded": thinned(specimen.Assessment(specimen.Rules[1]), 5), "four-way": thinned(specimen.Assessment(specimen.Rules[2]), 5),
		"empty": specimen.Empty(), "one": specimen.Lot(1, 1), "no cells": {Job: specimen.Empty().Job}, "no limits": noLimits(), "lot": thinned(specimen.Lot(14, 2), 5), "delivery": deliveryOf(16),
	}
}

func noLimits() *health.Assessment {
	a := specimen.Lot(2, 2)
	a.Job.Limits, a.Job.Grades, a.Verdict = nil, nil, health.NotEvaluated
	a.Counts = health.Counts{NotEvaluated: 2}
	for i := range a.Cells.Len() {
		a.Cells.At(i).Criteria, a.Cells.At(i).Verdict = nil, health.NotEvaluated
	}
	return a
}

func TestFormulasGiveTheirCachedValues(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	least := map[string]int{"simple": 500, "guarded": 500, "four-way": 500, "one": 25}
	for name, a := range assessments() {
		f, n := opened(t, workbook(t, a)), 0
		formulas(t, f, func(sheet, place, formula, cached string) {
			if n++; strings.Contains(formula, "~") {
				return // the library does not know this escape of criteria; LibreOffice does
			}
			got, err := f.CalcCellValue(sheet, place, excelize.Options{RawCellValue: true})
			if err != nil || !same(got, cached) {
				t.Errorf("%s: %s!%s =%s gives %q (%v), cached is %q", name, sheet, place, formula, got, err, cached)
			}
		})
		if n < least[name] {
			t.Errorf("%s: only %d formulas", name, n)
		}
	}
}

// TestVerdictsFollowTheInputs changes rule, coverage factor and limits in a workbook and compares its verdicts
// with those of an assessment that was made with them.
func TestVerdictsFollowTheInputs(t *testing.T) {
	if testing.Short() {
		t.Skip("many recalculations")
	}
	content := workbook(t, thinned(specimen.Assessment(specimen.Rules[1]), 1))
	for _, rule := range specimen.Rules {
		for _, factor := range []float64{1, 2, 3} {
			for _, limits := range []float64{0.8, 0.97, 1.03} {
				rule.CoverageFactor = factor
				checkChanged(t, content, rule, limits)
			}
		}
	}
}

func checkChanged(t *testing.T, content []byte, rule job.DecisionRule, times float64) {
	t.Helper()
	f := opened(t, content)
	want := specimen.AssessmentWith(rule, times)
	set(t, f, "D3", string(rule.Kind))
	set(t, f, "D4", rule.CoverageFactor)
	for i, l := range want.Job.Limits {
		bound := l.Bound
		if l.Quantity == job.OhmicOhm || l.Quantity == job.ACResistance1kHzOhm {
			bound *= 1000 // the workbook is in milliohms
		}
		set(t, f, fmt.Sprintf("D%d", 8+i), bound)
	}
	label := fmt.Sprintf("%s, k = %v, limits times %v", rule.Kind, rule.CoverageFactor, times)
	row := 4
	for i, c := range want.Cells.All() {
		for _, k := range c.Criteria {
			if got := calculated(t, f, "Criteria", fmt.Sprintf("Q%d", row)); got != k.Verdict.String() {
				t.Errorf("%s: %s, %s: %q, want %q", label, c.Name, k.Quantity, got, k.Verdict)
			}
			row++
		}
		if got := calculated(t, f, "Summary", fmt.Sprintf("B%d", 8+i)); got != c.Verdict.String() {
			t.Errorf("%s: %s: %q, want %q", label, c.Name, got, c.Verdict)
		}
	}
	if got := calculated(t, f, "Summary", "B3"); got != want.Verdict.String() {
		t.Errorf("%s: all cells: %q, want %q", label, got, want.Verdict)
	}
}

func set(t *testing.T, f *excelize.File, place string, value any) {
	t.Helper()
	if err := f.SetCellValue("Limits", place, value); err != nil {
		t.Fatal(err)
	}
}

func calculated(t *testing.T, f *excelize.File, sheet, place string) string {
	t.Helper()
	got, err := f.CalcCellValue(sheet, place, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatalf("%s!%s: %v", sheet, place, err)
	}
	return got
}

// TestChangedInputsAreSaid: the summary says whether its verdicts are the report's.
func TestChangedInputsAreSaid(t *testing.T) {
	f := opened(t, workbook(t, specimen.Assessment(specimen.Rules[1])))
	if got := calculated(t, f, "Summary", "B5"); got[:2] != "as" {
		t.Errorf("as issued: %q", got)
	}
	set(t, f, "D9", 1.4)
	if got := calculated(t, f, "Summary", "B5"); got[:7] != "CHANGED" {
		t.Errorf("with a changed limit: %q", got)
	}
}

// TestGrowthLimitWithoutLogarithm: a growth cannot be held against a limit that is not above nought.
func TestGrowthLimitWithoutLogarithm(t *testing.T) {
	f := opened(t, workbook(t, specimen.Assessment(specimen.Rules[1])))
	set(t, f, "D8", -1)
	if got := calculated(t, f, "Criteria", "Q4"); got != "not evaluated" {
		t.Errorf("%q, want not evaluated", got)
	}
}

func TestSameBytes(t *testing.T) {
	for _, make := range []func() *health.Assessment{func() *health.Assessment { return specimen.Assessment(specimen.Rules[1]) }, func() *health.Assessment { return deliveryOf(16) }} {
		first := workbook(t, make())
		for range 2 {
			if !bytes.Equal(first, workbook(t, make())) {
				t.Fatal("the same document gave other bytes")
			}
		}
	}
}

// TestNumbersAreHeldInFull: what a cell shows is rounded, what it holds is not.
func TestNumbersAreHeldInFull(t *testing.T) {
	a := specimen.Assessment(specimen.Rules[1])
	f := opened(t, workbook(t, a))
	heads, err := f.GetRows("Fit parameters")
	if err != nil {
		t.Fatal(err)
	}
	column := -1
	for i, head := range heads[2] {
		if head == "Charge-transfer resistance / mΩ" {
			column = i
		}
	}
	if column < 0 {
		t.Fatalf("no such head in %q", heads[2])
	}
	place, _ := excelize.CoordinatesToCellName(column+1, 5)
	held, _ := f.GetCellValue("Fit parameters", place)
	shown, _ := f.GetCellValue("Fit parameters", place, excelize.Options{RawCellValue: false})
	want := a.Cells.At(0).Measurements[1].Fit.ChargeTransfer // u = 1.1 %: 0.12 mΩ of 11.64 mΩ
	if got, _ := strconv.ParseFloat(held, 64); math.Abs(got-1000*want.Estimate()) > 1e-12 {
		t.Errorf("held %v, want %v", held, 1000*want.Estimate())
	}
	if shown != fmt.Sprintf("%.2f", 1000*want.Estimate()) {
		t.Errorf("shown %q, want two decimals of %v", shown, 1000*want.Estimate())
	}
}

// TestMeasuredAt: days and times are those of the 1900 date system (ISO/IEC 29500-1, 18.17.4.1), by the clock
// on the wall.
func TestMeasuredAt(t *testing.T) {
	a := specimen.Lot(1, 1)
	row := a.Cells.At(0).Measurements[0].Row
	// 1910-02-03T10:05:54 is 3687.4207639 in the 1900 system (from memory, and by arithmetic).
	row.MeasuredAt, row.HasTime = time.Date(1910, 2, 3, 10, 5, 54, 0, time.FixedZone("", 3600)), true
	f := opened(t, workbook(t, a))
	held, _ := f.GetCellValue("Results", "B4")
	if got, _ := strconv.ParseFloat(held, 64); math.Abs(got-3687.4207639) > 1e-7 {
		t.Errorf("%q, want 3687.4207639", held)
	}
}

func TestSpectraAreLeftOutOfLargeLots(t *testing.T) {
	f := opened(t, workbook(t, specimen.Lot(201, 10)))
	rows, err := f.GetRows("Spectra")
	if err != nil || len(rows) > 4 {
		t.Errorf("%d rows of spectra (%v)", len(rows), err)
	}
	f = opened(t, workbook(t, specimen.Lot(2, 10)))
	if rows, _ = f.GetRows("Spectra"); len(rows) != 3+2*10*49 {
		t.Errorf("%d rows of spectra, want 20 of 49 points", len(rows))
	}
}

type counter int

func (c *counter) Write(p []byte) (int, error) { *c += counter(len(p)); return len(p), nil }

func TestWriteFails(t *testing.T) {
	if err := xlsx.Write(broken{}, document(t, specimen.Empty())); err == nil {
		t.Error("a full disk went unnoticed")
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, os.ErrClosed }
