package pdf

import (
	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedbold"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedoblique"
	"codeberg.org/go-pdf/fpdf"
	"github.com/johnfercher/maroto/v2/pkg/consts/fontstyle"
	"golang.org/x/image/font/sfnt"
)

// family is the name under which the document knows its typeface, DejaVu Sans Condensed: of the faces
// that come as a Go module it is the one that lacks none of the signs that a report of impedance needs.
const family = "dejavusanscondensed"

// face is one weight or slope of the typeface.
type face struct {
	style    fontstyle.Type
	trueType []byte
}

var faces = [...]face{
	{fontstyle.Normal, dejavusanscondensed.TTF},
	{fontstyle.Bold, dejavusanscondensedbold.TTF},
	{fontstyle.Italic, dejavusanscondensedoblique.TTF},
}

// addFaces makes the typeface known to a document; only the glyphs that it uses are embedded.
func addFaces(pdf *fpdf.Fpdf) {
	for _, f := range faces {
		pdf.AddUTF8FontFromBytes(family, string(f.style), f.trueType)
	}
}

// parseFaces reads the faces for their coverage.
func parseFaces() []*sfnt.Font {
	fonts := make([]*sfnt.Font, len(faces))
	for i, f := range faces {
		font, err := sfnt.Parse(f.trueType)
		if err != nil {
			panic("pdf: " + err.Error()) // the faces are compiled in
		}
		fonts[i] = font
	}
	return fonts
}
