package specimen

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
)

// Open is the assessment of a job of measured spectra of real cells, which lie in the folder that OHMLEDGER_DATA names, else beside the
// module. The test skips where they are not at hand.
func Open(t testing.TB, name string) *health.Assessment {
	t.Helper()
	folder := os.Getenv("OHMLEDGER_DATA")
	if folder == "" {
		folder = filepath.Join("..", "..", "..", "shared", "data") // from a package two folders deep
	}
	files := os.DirFS(filepath.Join(folder, name))
	if _, err := fs.Stat(files, "job.yaml"); err != nil {
		t.Skipf("no open data in %s: set OHMLEDGER_DATA", folder)
	}
	j, err := job.Read(files)
	if err != nil {
		t.Fatal(err)
	}
	var inputs []health.Input
	for i := range j.Measurements {
		row := &j.Measurements[i]
		data, err := fs.ReadFile(files, row.File)
		if err != nil {
			t.Fatal(err)
		}
		s, err := spectrum.Read(row.File, data, j.Columns)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(data)
		inputs = append(inputs, health.Input{Row: row, Spectrum: s, SHA256: hex.EncodeToString(sum[:])})
	}
	a, err := health.Assess(context.Background(), health.Evidence{Job: j, Inputs: inputs}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return a
}
