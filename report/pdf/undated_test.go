package pdf

import (
	"bytes"
	"testing"
	"time"
)

// A report whose day of issue is not stated carries no date of its own making; one whose day is stated carries that.
func TestUnissuedReportHasNoDate(t *testing.T) {
	d := specimen(t, 1, 1)
	d.Assessment.Job.Report.Issued = time.Date(2026, 3, 24, 0, 0, 0, 0, time.UTC)
	if info := outputOf(t, bytesOf(t, Options{}, d), "pdfinfo", "-isodates", "FILE"); !bytes.Contains(info, []byte("CreationDate:    2026-03-24T00:00:00Z")) {
		t.Errorf("%s", info)
	}
	d.Assessment.Job.Report.Issued = time.Time{}
	if info := outputOf(t, bytesOf(t, Options{}, d), "pdfinfo", "FILE"); bytes.Contains(info, []byte("Date")) {
		t.Errorf("%s", info)
	}
}
