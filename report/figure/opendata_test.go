package figure

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// openData is the document of a job of measured spectra of real cells; it skips where they are not at hand.
func openData(t *testing.T, name string) *report.Document {
	t.Helper()
	folder := os.Getenv("OHMLEDGER_DATA")
	if folder == "" {
		folder = filepath.Join("..", "..", "..", "shared", "data")
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
	for _, row := range j.Measurements {
		data, err := fs.ReadFile(files, row.File)
		if err != nil {
			t.Fatal(err)
		}
		s, err := spectrum.Read(row.File, data, j.Columns)
		if err != nil {
			t.Fatal(err)
		}
		inputs = append(inputs, health.Input{Row: &row, Spectrum: s})
	}
	a, err := health.Assess(context.Background(), health.Evidence{Job: j, Inputs: inputs}, nil)
	if err != nil {
		t.Fatal(err)
	}
	d := sketchDocument(t, "en")
	d.Assessment = a
	return d
}

// Figures of real cells are tidy at full and at half width, and are written where OHMLEDGER_FIGURES names a folder.
func TestFiguresOfOpenData(t *testing.T) {
	for _, name := range []string{"coin-25c", "cylindrical-temperature", "cylindrical-repeat"} {
		t.Run(name, func(t *testing.T) {
			d := openData(t, name)
			for i := range d.Assessment.Cells {
				cell := &d.Assessment.Cells[i]
				figures := sketchFigures(d, cell)
				for _, f := range []Figure{Growth(d, cell, "days"), Residuals(d, cell)} {
					f.Name, f.Width, f.Height = f.Name+"-half", figureWidth/2-2, Residuals(d, cell).Height
					figures = append(figures, f)
				}
				for k, f := range figures {
					checkTidy(t, f.Name, drawn(f))
					if folder := os.Getenv("OHMLEDGER_FIGURES"); folder != "" {
						writeTo(t, fmt.Sprintf("%s/%s-%s-%d.png", folder, name, f.Name, k), func(w *os.File) error { return WritePNG(w, f) })
					}
				}
			}
		})
	}
}
