package leastsq

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
)

// table is a csv file of testdata/strd with a header row and comment lines.
type table struct {
	t      *testing.T
	name   string
	header []string
	rows   [][]string
}

func readTable(t *testing.T, name string) table {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "..", "testdata", "strd", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return table{t, name, rows[0], rows[1:]}
}

// text returns a column as written.
func (tb table) text(column string) []string {
	tb.t.Helper()
	at := slices.Index(tb.header, column)
	if at < 0 {
		tb.t.Fatalf("%s has no column %q", tb.name, column)
	}
	values := make([]string, len(tb.rows))
	for i, row := range tb.rows {
		values[i] = row[at]
	}
	return values
}

// column returns a column of numbers.
func (tb table) column(column string) []float64 {
	tb.t.Helper()
	values := make([]float64, len(tb.rows))
	for i, text := range tb.text(column) {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			tb.t.Fatalf("%s: %v", tb.name, err)
		}
		values[i] = v
	}
	return values
}
