package job

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

// The jobs of open data, where they are at hand (OHMLEDGER_DATA). What they hold is as their README says.
func TestRealJobs(t *testing.T) {
	data := os.Getenv("OHMLEDGER_DATA")
	if data == "" {
		data = filepath.Join("..", "..", "..", "shared", "data")
	}
	for _, want := range []struct {
		job                 string
		cells, measurements int
	}{{"coin-25c", 4, 204}, {"cylindrical-temperature", 5, 25}, {"cylindrical-repeat", 2, 24}} {
		t.Run(want.job, func(t *testing.T) {
			files := os.DirFS(filepath.Join(data, want.job))
			if _, err := fs.Stat(files, jobFile); err != nil {
				t.Skipf("no open data in %s; OHMLEDGER_DATA names the folder", data)
			}
			j, err := Read(files)
			if err != nil {
				t.Fatal(err)
			}
			cells := map[string]bool{}
			for _, m := range j.Measurements {
				cells[m.Cell] = true
				s, source, err := j.Spectrum(files, m)
				if err != nil {
					t.Fatal(err)
				}
				if s.File != m.File || source.File != m.File || source.Bytes == 0 {
					t.Errorf("%s reads as %s with source %+v", m.File, s.File, source)
				}
			}
			if len(cells) != want.cells || len(j.Measurements) != want.measurements {
				t.Errorf("%d cells and %d measurements, want %d and %d", len(cells), len(j.Measurements), want.cells, want.measurements)
			}
		})
	}
}
