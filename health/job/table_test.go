package job

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/xuri/excelize/v2"
)

// fullTable has every column that is known, and one that is not.
func fullTable() [][]string {
	return [][]string{
		append(columnNames(), "pallet"),
		{"B", "spectra/A2.csv", "2026-03-02T09:30:00+01:00", "25.5", "0.2", "49.5", "400", "985", "2.4", "4-wire", "galvanostatic", "0.25", "0.01", "120", "3.671", "3.67", "bridge 7", "holder 2", "K. L.", "re-clipped, then swept", "kept: only the tail is off", "P8"},
		{"A", "spectra/A1.csv", "2026-03-01", "-20", "", "", "", "", "", "", "", "", "", "", "", "", "", "", "", "", "", ""},
		{"B", "spectra/shorted.csv", "2026-03-01", "24", "", "50", "0", "0", "", "2-wire", "Potentiostatic", "", "", "0", "", "", "", "", "", "", "", "P7"},
	}
}

// csv writes a table with its columns in an order.
func csv(rows [][]string, order []int) []byte {
	var text bytes.Buffer
	for _, row := range rows {
		for i, column := range order {
			if i > 0 {
				text.WriteByte(',')
			}
			fmt.Fprintf(&text, "%q", row[column])
		}
		text.WriteByte('\n')
	}
	return text.Bytes()
}

func natural(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	return order
}

func readWith(t testing.TB, name string, table []byte) *Job {
	t.Helper()
	folder := jobWith(t, "conditions: {temperature_uncertainty_c: 0.7}")
	delete(folder, textTable)
	folder[name] = &fstest.MapFile{Data: table}
	j, err := Read(folder)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestMeasurements(t *testing.T) {
	rows := fullTable()
	j := readWith(t, textTable, csv(rows, natural(len(rows[0]))))
	number := func(v float64) *float64 { return &v }
	march := func(day int) time.Time { return time.Date(2026, 3, day, 0, 0, 0, 0, time.UTC) }
	want := []Measurement{ // cell B was named first; its first day comes first
		{Cell: "B", File: "spectra/shorted.csv", MeasuredAt: march(1), TemperatureC: 24, TemperatureUncertaintyC: 0.7, SOCPercent: number(50), Cycles: number(0),
			ThroughputAh: number(0), Sensing: "2-wire", Control: "potentiostatic", RestMinutes: number(0), Extra: map[string]string{"pallet": "P7"}, Line: 4},
		{Cell: "B", File: "spectra/A2.csv", MeasuredAt: time.Date(2026, 3, 2, 9, 30, 0, 0, time.FixedZone("", 3600)), HasTime: true, TemperatureC: 25.5, TemperatureUncertaintyC: 0.2,
			SOCPercent: number(49.5), Cycles: number(400), ThroughputAh: number(985), CapacityAh: number(2.4), Sensing: "4-wire", Control: "galvanostatic",
			AmplitudeA: number(0.25), AmplitudeV: number(0.01), RestMinutes: number(120), OCVBeforeV: number(3.671), OCVAfterV: number(3.67),
			Instrument: "bridge 7", Fixture: "holder 2", Operator: "K. L.", Remarks: "re-clipped, then swept", Accept: "kept: only the tail is off", Extra: map[string]string{"pallet": "P8"}, Line: 2},
		{Cell: "A", File: "spectra/A1.csv", MeasuredAt: march(1), TemperatureC: -20, TemperatureUncertaintyC: 0.7, Line: 3},
	}
	for i := range want {
		if !reflect.DeepEqual(j.Measurements[i], want[i]) {
			t.Errorf("measurement %d is\n%+v, want\n%+v", i, j.Measurements[i], want[i])
		}
	}
	if !slices.Equal(j.ExtraColumns, []string{"pallet"}) {
		t.Errorf("extra columns are %q", j.ExtraColumns)
	}
}

// The order of the columns is of no account.
func TestColumnsMayStandInAnyOrder(t *testing.T) {
	rows := fullTable()
	order := natural(len(rows[0]))
	want := readWith(t, textTable, csv(rows, order)).Measurements
	source := rand.New(rand.NewPCG(7, 7))
	for range 50 {
		source.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		if got := readWith(t, textTable, csv(rows, order)).Measurements; !reflect.DeepEqual(got, want) {
			t.Fatalf("in order %v the table reads as\n%+v", order, got)
		}
	}
}

// Rows of one day keep their order; otherwise time decides.
func TestRowsOfOneDayKeepTheirOrder(t *testing.T) {
	j := readWith(t, textTable, []byte("cell,file,measured_at,temperature_c\nA,spectra/A2.csv,2026-03-01,25\nA,spectra/A1.csv,2026-03-01,25\nA,spectra/shorted.csv,2026-02-28T23:00:00-02:00,25\n"))
	var files []string
	for _, m := range j.Measurements {
		files = append(files, m.File)
	}
	if want := []string{"spectra/A2.csv", "spectra/A1.csv", "spectra/shorted.csv"}; !slices.Equal(files, want) {
		t.Errorf("order is %q, want %q (23:00 at −02:00 is 01:00 UTC of the next day)", files, want)
	}
}

// A workbook's table reads as the text does: numbers as numbers, dates as dates.
func TestWorkbook(t *testing.T) {
	book := excelize.NewFile()
	rows := [][]any{
		{"cell", "file", "measured_at", "temperature_c", "cycles", "pallet"},
		{17, "spectra/A1.csv", time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), 24.8, 3, 7.5},
		{17, "spectra/A2.csv", "2026-03-02T09:30:00Z", "25,1", nil, "P8"},
	}
	for i, row := range rows {
		if err := book.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	style, err := book.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		t.Fatal(err)
	}
	if err := book.SetCellStyle("Sheet1", "C2", "C2", style); err != nil {
		t.Fatal(err)
	}
	data, err := book.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	j := readWith(t, bookTable, data.Bytes())
	m := j.Measurements
	if len(m) != 2 || m[0].Cell != "17" || dayOf(m[0].MeasuredAt) != "2026-03-01" || m[0].HasTime || !m[1].HasTime || m[0].TemperatureC != 24.8 ||
		m[1].TemperatureC != 25.1 || *m[0].Cycles != 3 || m[1].Cycles != nil || m[0].Extra["pallet"] != "7.5" || m[1].Line != 3 || j.Table != bookTable {
		t.Errorf("the workbook reads as %+v", m)
	}
}

// Ten thousand cells are no trouble, nor are ten thousand faults.
func TestLongTables(t *testing.T) {
	folder := jobWith(t, "language: en")
	var sound, faulty strings.Builder
	sound.WriteString("cell,file,measured_at,temperature_c\n")
	faulty.WriteString("cell,file,measured_at,temperature_c\n")
	for i := range 10_000 {
		fmt.Fprintf(&sound, "C%d,spectra/c%d.csv,2026-03-01,25\n", i, i)
		fmt.Fprintf(&faulty, "C%d,spectra/none%d.csv,2026-03-01,hot\n", i, i)
		folder[fmt.Sprintf("spectra/c%d.csv", i)] = &fstest.MapFile{Data: []byte(soundSpectrum)}
	}
	folder[textTable] = &fstest.MapFile{Data: []byte(sound.String())}
	if j, err := Read(folder); err != nil || len(j.Measurements) != 10_000 {
		t.Fatal(err)
	}
	folder[textTable] = &fstest.MapFile{Data: []byte(faulty.String())}
	_, err := Read(folder)
	if lines := strings.Split(err.Error(), "\n"); lines[len(lines)-1] != "measurements.csv: 19950 more faults of this file are not listed" {
		t.Errorf("the last line is %q", lines[len(lines)-1])
	}
}

// Names of columns that nobody would mistake are kept; others are refused.
func TestAlike(t *testing.T) {
	for name, want := range map[string]bool{"temperature_f": true, "Temperature C": true, "temprature_c": true, "temperatuer_c": true, "temperature": true,
		"temperature_chamber": false, "temp": false, "cell": false} {
		if alike(name, "temperature_c") != want {
			t.Errorf("%s: alike is %v", name, !want)
		}
	}
}
