package spectrum

import (
	"cmp"
	"os"
	"path/filepath"
	"testing"
)

// Real spectra, which are no part of the project: every file reads natively, and nothing had to be
// settled but the one frequency that stands twice in each of two files.
func TestRealSpectra(t *testing.T) {
	data := cmp.Or(os.Getenv("OHMLEDGER_DATA"), filepath.Join("..", "..", "..", "shared", "data"))
	files, err := filepath.Glob(filepath.Join(data, "*", "spectra", "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Skipf("no spectra under %s; OHMLEDGER_DATA names the folder", data)
	}
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Read(filepath.Base(file), content, Columns{})
		if err != nil {
			t.Error(err)
			continue
		}
		doubled := map[string]int{"T0_soc080.csv": 50, "T10_soc060.csv": 53}[s.File] // the line of it
		settled := len(s.Notes) == 1 && s.Notes[0].Kind == Doubled && s.Notes[0].Line == doubled
		if len(s.Frequency) < 10 || settled != (doubled > 0) || !settled && len(s.Notes) > 0 {
			t.Errorf("%s: %d points, notes %+v", file, len(s.Frequency), s.Notes)
		}
	}
	t.Logf("%d files", len(files))
}
