package spectrum

import (
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
	"github.com/xuri/nfp"
)

// A workbook stores a date as a number; that it is one shows only in its number format. These marks
// stand in place of what a format of dates or times would show.
const (
	dateMark   = "date"
	timeMark   = "time "
	dateFormat = `"date"`
	timeFormat = `"time "[h]:mm:ss`
)

// markDates exchanges every number format of dates and times for one that shows a mark.
func markDates(f *excelize.File) error {
	if _, err := f.GetStyle(0); err != nil || f.Styles.CellXfs == nil {
		return nil // no styles, so no dates
	}
	plain := len(f.Styles.CellXfs.Xf)
	dateID, err := addFormat(f, dateFormat)
	if err != nil {
		return err
	}
	timeID, err := addFormat(f, timeFormat)
	if err != nil {
		return err
	}
	marked := map[int]*int{} // many styles share few formats
	for i, style := range f.Styles.CellXfs.Xf[:plain] {
		if style.NumFmtID == nil {
			continue
		}
		id, seen := marked[*style.NumFmtID]
		if !seen {
			id = markedFormat(f, style.NumFmtID, dateID, timeID)
			marked[*style.NumFmtID] = id
		}
		f.Styles.CellXfs.Xf[i].NumFmtID = id
	}
	return nil
}

// markedFormat is the number format to use in place of one.
func markedFormat(f *excelize.File, id, dateID, timeID *int) *int {
	switch day, clock := dateParts(f, *id); {
	case day:
		return dateID
	case clock:
		return timeID
	}
	return id
}

func addFormat(f *excelize.File, code string) (id *int, err error) {
	style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
	if err != nil {
		return nil, err
	}
	return f.Styles.CellXfs.Xf[style].NumFmtID, nil
}

// builtIn are the number formats that need no code in the file, with a typical one
// (ISO/IEC 29500-1, 18.8.30; 27 to 36 and 50 to 58 are those of East Asian languages).
var builtIn = []struct {
	first, last int
	code        string
}{
	{14, 17, "d/m/yyyy"}, {18, 21, "h:mm"}, {22, 22, "d/m/yyyy h:mm"}, {27, 31, "yyyy/m/d"}, {32, 35, "h:mm"},
	{36, 36, "yyyy/m/d"}, {45, 47, "mm:ss"}, {50, 54, "yyyy/m/d"}, {55, 56, "h:mm"}, {57, 58, "yyyy/m/d"},
}

// dateParts says whether a number format shows a day and whether it shows the time.
func dateParts(f *excelize.File, id int) (day, clock bool) {
	parser := nfp.NumberFormatParser()
	for _, section := range parser.Parse(formatCode(f, id)) {
		for _, token := range section.Items {
			letters := strings.ToLower(token.TValue)
			switch token.TType {
			case nfp.TokenTypeDateTimes:
				day = day || strings.ContainsAny(letters, "yd")
				clock = clock || strings.ContainsAny(letters, "hms")
			case nfp.TokenTypeElapsedDateTimes:
				clock = true
			}
		}
	}
	return day, clock
}

func formatCode(f *excelize.File, id int) string {
	if f.Styles.NumFmts != nil {
		for _, format := range f.Styles.NumFmts.NumFmt {
			if format.NumFmtID == id {
				return format.FormatCode
			}
		}
	}
	for _, format := range builtIn {
		if format.first <= id && id <= format.last {
			return format.code
		}
	}
	return ""
}

// dateOf turns a serial number into the day and time that it stands for (ISO/IEC 29500-1, 18.17.4.1).
func dateOf(serial float64, date1904 bool) (date time.Time, ok bool) {
	const last = 2_958_465 // 9999-12-31
	if serial < 1 || serial >= last+1 {
		return time.Time{}, false
	}
	date, err := excelize.ExcelDateToTime(serial, date1904)
	return date, err == nil && date.Year() <= 9999
}

// isoDate leaves out the time of day at midnight, which is how a sheet stores a day without one.
func isoDate(date time.Time) string {
	if date.Equal(date.Truncate(24 * time.Hour)) {
		return date.Format(time.DateOnly)
	}
	return date.Format("2006-01-02T15:04:05")
}
