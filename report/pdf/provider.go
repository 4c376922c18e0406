package pdf

import (
	"bytes"

	"codeberg.org/go-pdf/fpdf"
	"github.com/johnfercher/maroto/v2/pkg/consts/border"
	"github.com/johnfercher/maroto/v2/pkg/consts/orientation"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// provider sets maroto's rows and columns on the pages of a document. Maroto's own provider loses text
// that does not fit, prints its errors into the page, and hides bookmarks, links and attachments.
type provider struct {
	pdf       *fpdf.Fpdf
	config    *entity.Config
	alphabet  *alphabet
	top, left float64 // mm: of the row and column being set
	set       letters // that the page was told last
}

var _ core.Provider = (*provider)(nil)

// letters are a face at a size in points.
type letters struct {
	style string
	size  float64
}

func newProvider(config *entity.Config) *provider {
	p := &provider{config: config, alphabet: newAlphabet()}
	p.pdf = fpdf.NewCustom(&fpdf.InitType{
		UnitStr: "mm",
		Size:    fpdf.SizeType{Wd: config.Dimensions.Width, Ht: config.Dimensions.Height},
	})
	p.pdf.SetCatalogSort(true) // the same bytes every time
	p.pdf.SetAutoPageBreak(false, 0)
	p.pdf.SetMargins(config.Margins.Left, config.Margins.Top, config.Margins.Right)
	addFaces(p.pdf)
	p.SetCompression(config.Compression)
	return p
}

// newPage begins a page; rows go to its top.
func (p *provider) newPage() {
	p.pdf.AddPage()
	p.top, p.left, p.set = 0, 0, letters{}
}

// at is the place on the page of a point of the area between the margins, in mm.
func (p *provider) at(x, y float64) (float64, float64) {
	return p.config.Margins.Left + x, p.config.Margins.Top + y
}

// setFont tells the page a font unless it is in force.
func (p *provider) setFont(f letters) {
	if p.set != f {
		p.pdf.SetFont(family, f.style, f.size)
		p.set = f
	}
}

// CreateRow moves below a row of a height in mm.
func (p *provider) CreateRow(height float64) {
	p.top += height
	p.left = 0
}

// CreateCol paints the ground and borders of the next column of the row, in mm.
func (p *provider) CreateCol(width, height float64, _ *entity.Config, style *props.Cell) {
	if style != nil {
		x, y := p.at(p.left, p.top)
		p.paint(style.BackgroundColor, x, y, width, height)
		p.drawBorders(style, x, y, width, height)
	}
	p.left += width
}

func (p *provider) paint(colour *props.Color, x, y, width, height float64) {
	if colour != nil {
		p.pdf.SetFillColor(colour.Red, colour.Green, colour.Blue)
		p.pdf.Rect(x, y, width, height, "F")
	}
}

func (p *provider) drawBorders(style *props.Cell, x, y, width, height float64) {
	kind := style.BorderType
	if kind == border.None {
		return
	}
	p.setPen(style.BorderColor, style.BorderThickness)
	sides := []struct {
		drawn          bool
		x1, y1, x2, y2 float64
	}{
		{kind.HasTop(), x, y, x + width, y},
		{kind.HasBottom(), x, y + height, x + width, y + height},
		{kind.HasLeft(), x, y, x, y + height},
		{kind.HasRight(), x + width, y, x + width, y + height},
	}
	for _, s := range sides {
		if s.drawn {
			p.pdf.Line(s.x1, s.y1, s.x2, s.y2)
		}
	}
}

func (p *provider) setPen(colour *props.Color, thickness float64) {
	p.pdf.SetDrawColor(colour.Red, colour.Green, colour.Blue)
	p.pdf.SetLineWidth(thickness)
}

// AddLine draws a rule through a cell.
func (p *provider) AddLine(cell *entity.Cell, l *props.Line) {
	p.setPen(l.Color, l.Thickness)
	x, y := p.at(cell.X, cell.Y)
	if l.Orientation == orientation.Vertical {
		x += cell.Width * l.OffsetPercent / 100
		p.pdf.Line(x, y, x, y+cell.Height*l.SizePercent/100)
		return
	}
	y += cell.Height * l.OffsetPercent / 100
	p.pdf.Line(x, y, x+cell.Width*l.SizePercent/100, y)
}

// SetCompression of the page contents.
func (p *provider) SetCompression(on bool) { p.pdf.SetCompression(on) }

// GenerateBytes closes the document and gives its bytes.
func (p *provider) GenerateBytes() ([]byte, error) {
	var b bytes.Buffer
	if err := p.pdf.Output(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
