package pdf

import (
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"ohmledger/report/figure"
)

// WriteFigure writes one figure by itself, a page of its size with vectors, its caption as the document's title. The same
// figure gives the same bytes.
func WriteFigure(w io.Writer, f figure.Figure) error {
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: f.Width, Ht: f.Height}})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(time.Unix(0, 0).UTC())
	pdf.SetModificationDate(time.Unix(0, 0).UTC())
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetTitle(strings.ReplaceAll(newAlphabet().legible(f.Caption), string(guard), ""), true)
	addFaces(pdf)
	pdf.AddPage()
	drawFigure(pdf, f, 0, 0, family)
	return pdf.Output(w)
}
