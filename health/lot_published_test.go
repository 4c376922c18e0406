package health

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// published reads a table of published values; lines that begin with # say where they come from.
func published(t *testing.T, folder, file string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", folder, file))
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
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, name := range lines[0] {
			row[name] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// column is one column of one data set.
func column(t *testing.T, file, set, name string) (values []float64) {
	t.Helper()
	return columnIn(t, "published", file, set, name)
}

func columnIn(t *testing.T, folder, file, set, name string) (values []float64) {
	t.Helper()
	for _, row := range published(t, folder, file) {
		if row["set"] == set {
			values = append(values, parsed(t, row[name]))
		}
	}
	if len(values) == 0 {
		t.Fatalf("%s has no set %s", file, set)
	}
	return values
}

func parsed(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
