package pdf

import (
	"os"
	"path/filepath"
	"testing"

	shared "ohmledger/report/internal/specimen"
)

// openData are jobs of measured spectra of real cells.
var openData = []string{"coin-25c", "cylindrical-temperature", "cylindrical-repeat"}

// TestOpenData writes reports of real spectra, and keeps them where OHMLEDGER_REPORTS names a folder.
func TestOpenData(t *testing.T) {
	for _, name := range openData {
		t.Run(name, func(t *testing.T) {
			b := bytesOf(t, Options{}, document(t, shared.Open(t, name)))
			if folder := os.Getenv("OHMLEDGER_REPORTS"); folder != "" {
				if err := os.WriteFile(filepath.Join(folder, name+".pdf"), b, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}
