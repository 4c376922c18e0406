package main

import (
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// twelve writes a job of 12 cells with 8 spectra each, on the scenario's courses without their incidents.
func twelve(t testing.TB, folder string) {
	t.Helper()
	rows := [][]string{{"cell", "file", "measured_at", "temperature_c", "soc_percent", "cycles", "capacity_ah", "sensing", "rest_minutes"}}
	for c := range 12 {
		course := courses[c%len(courses)]
		course.name, course.incidents = fmt.Sprintf("B-%02d", c+1), nil
		for v := range visits {
			s := course.measured(v, rand.New(rand.NewPCG(uint64(1000+c), uint64(v))))
			keep(t, filepath.Join(folder, s.spectrum.File), dialects[""](s.spectrum))
			rows = append(rows, []string{course.name, s.spectrum.File, visits[v].day, strconv.FormatFloat(s.celsius, 'f', 1, 64), "50",
				fmt.Sprint(visits[v].cycles), "2.4", "4-wire", "120"})
		}
	}
	table := must(os.Create(filepath.Join(folder, "measurements.csv")))
	defer table.Close()
	if err := csv.NewWriter(table).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	keep(t, filepath.Join(folder, "job.yaml"), must(os.ReadFile(demoFolder+"/job.yaml")))
}

// BenchmarkReport is the whole of the main job on 12 cells of 8 spectra.
func BenchmarkReport(b *testing.B) {
	folder := b.TempDir()
	twelve(b, folder)
	con := &console{}
	for b.Loop() {
		if _, err := (order{}).report(b.Context(), con, os.DirFS(folder), folder, filepath.Join(b.TempDir(), "out")); err != nil {
			b.Fatal(err)
		}
	}
}

// A report of 12 cells with 8 spectra each has less than 200 KB.
func TestReportIsSmall(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in the scripts of TestCommands too")
	}
	folder := t.TempDir()
	twelve(t, folder)
	out := filepath.Join(folder, "report")
	if _, err := (order{}).report(t.Context(), &console{}, os.DirFS(folder), folder, out); err != nil {
		t.Fatal(err)
	}
	if size := must(os.Stat(filepath.Join(out, "report.pdf"))).Size(); size > 200_000 {
		t.Errorf("report.pdf has %d bytes", size)
	}
}
