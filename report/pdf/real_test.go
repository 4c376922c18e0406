package pdf

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// openData are jobs of measured spectra of real cells.
var openData = []string{"coin-25c", "cylindrical-temperature", "cylindrical-repeat"}

// reported reads, judges and documents a job of open data, or skips where the data are not at hand.
func reported(t *testing.T, name string) *report.Document {
	t.Helper()
	folder := os.Getenv("OHMLEDGER_DATA")
	if folder == "" {
		folder = filepath.Join("..", "..", "..", "shared", "data")
	}
	files := os.DirFS(filepath.Join(folder, name))
	if _, err := fs.Stat(files, "job.yaml"); err != nil {
		t.Skipf("no open data at %s: set OHMLEDGER_DATA", folder)
	}
	j, err := job.Read(files)
	if err != nil {
		t.Fatal(err)
	}
	a, err := health.Assess(context.Background(), health.Evidence{Job: j, Inputs: measurements(t, files, j)}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return document(t, a)
}

func measurements(t *testing.T, files fs.FS, j *job.Job) []health.Input {
	t.Helper()
	var inputs []health.Input
	for _, row := range j.Measurements {
		data, err := fs.ReadFile(files, row.File)
		if err != nil {
			t.Fatal(err)
		}
		s, err := spectrum.Read(row.File, data, j.Columns)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(data)
		inputs = append(inputs, health.Input{Row: &row, Spectrum: s, SHA256: hex.EncodeToString(sum[:])})
	}
	return inputs
}

// TestOpenData writes reports of real spectra, and keeps them where OHMLEDGER_REPORTS names a folder.
func TestOpenData(t *testing.T) {
	for _, name := range openData {
		t.Run(name, func(t *testing.T) {
			b := bytesOf(t, Options{}, reported(t, name))
			if folder := os.Getenv("OHMLEDGER_REPORTS"); folder != "" {
				if err := os.WriteFile(filepath.Join(folder, name+".pdf"), b, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}
