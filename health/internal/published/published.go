// Package published reads the tables of published values that tests compare with, and compares.
package published

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// Rows are the rows of a file in a folder of testdata, each by the heads of its columns. Lines that begin with # say where
// the values come from.
func Rows(t testing.TB, folder, file string) (rows []map[string]string) {
	t.Helper()
	f, err := os.Open(filepath.Join(testdata(t), folder, file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, name := range lines[0] {
			row[name] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// testdata is the module's folder of that name, beside go.mod.
func testdata(t testing.TB) string {
	t.Helper()
	for up := "."; len(up) < 64; up = filepath.Join("..", up) {
		if _, err := os.Stat(filepath.Join(up, "go.mod")); err == nil {
			return filepath.Join(up, "testdata")
		}
	}
	t.Fatal("no go.mod above the package")
	return ""
}

// Column is one column of one data set of a file.
func Column(t testing.TB, folder, file, set, name string) (values []float64) {
	t.Helper()
	for _, row := range Rows(t, folder, file) {
		if row["set"] == set {
			values = append(values, Number(t, row[name]))
		}
	}
	if len(values) == 0 {
		t.Fatalf("%s has no set %s", file, set)
	}
	return values
}

// Number reads a published number.
func Number(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Agrees reports a number that is farther from a published one than the tolerance.
func Agrees(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g", what, got, want, tolerance)
	}
}
