package pdf

import (
	"bytes"

	"codeberg.org/go-pdf/fpdf"
	"github.com/johnfercher/maroto/v2/pkg/consts/extension"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// logo is the name of the only image in a document. A second would need care: fpdf 0.12.0 writes images
// of equal width in random order.
const logo = "logo"

// AddImageFromBytes sets the laboratory's logo into a cell, as large as fits, left and at the top.
func (p *provider) AddImageFromBytes(b []byte, cell *entity.Cell, _ *props.Rect, kind extension.Type) {
	info := p.registered(b, kind)
	if info == nil {
		return // the document keeps the error and gives it with its bytes
	}
	width, height := cell.Height*info.Width()/info.Height(), cell.Height
	if width > cell.Width {
		width, height = cell.Width, cell.Width*info.Height()/info.Width()
	}
	x, y := p.at(cell.X, cell.Y)
	p.pdf.ImageOptions(logo, x, y, width, height, false, fpdf.ImageOptions{ImageType: string(kind)}, 0, "")
}

func (p *provider) registered(b []byte, kind extension.Type) *fpdf.ImageInfoType {
	return p.pdf.RegisterImageOptionsReader(logo, fpdf.ImageOptions{ImageType: string(kind)}, bytes.NewReader(b))
}

// GetDimensionsByImageByte gives the size of an image.
func (p *provider) GetDimensionsByImageByte(b []byte, kind extension.Type) (*entity.Dimensions, error) {
	info := p.registered(b, kind)
	if info == nil {
		return nil, p.pdf.Error()
	}
	return &entity.Dimensions{Width: info.Width(), Height: info.Height()}, nil
}
