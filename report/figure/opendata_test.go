package figure

import (
	"fmt"
	"os"
	"testing"

	"ohmledger/report"
	"ohmledger/report/internal/specimen"
)

// openData is the document of a job of measured spectra of real cells; it skips where they are not at hand.
func openData(t *testing.T, name string) *report.Document {
	t.Helper()
	a := specimen.Open(t, name)
	d := sketchDocument(t, "en")
	d.Assessment = a
	return d
}

// Figures of real cells are tidy at full and at half width, and are written where OHMLEDGER_FIGURES names a folder.
func TestFiguresOfOpenData(t *testing.T) {
	for _, name := range []string{"coin-25c", "cylindrical-temperature", "cylindrical-repeat"} {
		t.Run(name, func(t *testing.T) {
			d := openData(t, name)
			for i := range d.Assessment.Cells.Len() {
				cell := d.Assessment.Cells.At(i)
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
