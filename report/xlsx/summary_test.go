package xlsx_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/internal/specimen"
)

// The summary gives of a growth the ends of the interval that it is decided on, which are not even about the value, and of
// other quantities U.
func TestSummaryGivesGrowthsWithTheirEnds(t *testing.T) {
	a := specimen.Assessment(specimen.Rules[1])
	f := opened(t, workbook(t, a))
	rows, err := f.GetRows("Summary", excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	heads := strings.Join(rows[6], "|")
	for i, l := range a.Job.Limits {
		ends := strconv.Itoa(i+1) + ": upper end of coverage interval"
		if report.IsGrowth(l.Quantity) != strings.Contains(heads, ends) || report.IsGrowth(l.Quantity) == strings.Contains(heads, strconv.Itoa(i+1)+": expanded") {
			t.Errorf("%s: %s", l.Quantity, heads)
		}
		k := &a.Cells.At(0).Criteria[i]
		if l.Quantity == job.ChargeTransferGrowth && k.Value.Known() {
			held(t, "upper", column(t, f, "Summary", ends, 7)[0], k.Upper)
		}
	}
}

// Grades of cells that do not pass the limits of the job stand in brackets, on both sheets that show them, and the cells hold the grade alone.
func TestGradesOfCellsThatDoNotPassStandInBrackets(t *testing.T) {
	a := thinned(specimen.Lot(14, 2), 5)
	f := opened(t, workbook(t, a))
	for sheet, column := range map[string]string{"Grades": "C4:", "Summary": "C8:"} {
		formats, err := f.GetConditionalFormats(sheet)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for place, rules := range formats {
			for _, r := range rules {
				found = found || strings.HasPrefix(place, column) && strings.HasPrefix(r.Criteria, "NOT(OR($B")
			}
		}
		if !found {
			t.Errorf("%s: none", sheet)
		}
	}
}
