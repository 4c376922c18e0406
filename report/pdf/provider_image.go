package pdf

import (
	"bytes"
	"fmt"
	"image"
	_ "image/jpeg"
	_ "image/png"

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

// picture is the laboratory's logo.
type picture struct {
	bytes         []byte
	kind          extension.Type
	width, height float64 // pixels
}

// newPicture reads what a logo is; nil for no bytes.
func newPicture(b []byte) (*picture, error) {
	if len(b) == 0 {
		return nil, nil
	}
	config, format, err := image.DecodeConfig(bytes.NewReader(b))
	if err != nil {
		return nil, fmt.Errorf("pdf: laboratory.logo is no PNG or JPEG image: %w", err)
	}
	return &picture{b, extension.Type(format), float64(config.Width), float64(config.Height)}, nil
}
