package pdf

import (
	"github.com/johnfercher/maroto/v2/pkg/consts/extension"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// What core.Provider asks for beyond what a report uses. Calling any of it is a programmer's mistake.

const unused = "pdf: a report has no "

// AddMatrixCode panics.
func (p *provider) AddMatrixCode(string, *entity.Cell, *props.Rect) { panic(unused + "matrix code") }

// AddQrCode panics.
func (p *provider) AddQrCode(string, *entity.Cell, *props.Rect) { panic(unused + "matrix code") }

// AddBarCode panics.
func (p *provider) AddBarCode(string, *entity.Cell, *props.Barcode) { panic(unused + "bar code") }

// GetDimensionsByMatrixCode panics.
func (p *provider) GetDimensionsByMatrixCode(string) (*entity.Dimensions, error) {
	panic(unused + "matrix code")
}

// GetDimensionsByQrCode panics.
func (p *provider) GetDimensionsByQrCode(string) (*entity.Dimensions, error) {
	panic(unused + "matrix code")
}

// GetDimensionsByImage panics: a report reads no files.
func (p *provider) GetDimensionsByImage(string) (*entity.Dimensions, error) {
	panic(unused + "image file")
}

// AddImageFromFile panics: a report reads no files.
func (p *provider) AddImageFromFile(string, *entity.Cell, *props.Rect) { panic(unused + "image file") }

// AddBackgroundImageFromBytes panics.
func (p *provider) AddBackgroundImageFromBytes([]byte, *entity.Cell, *props.Rect, extension.Type) {
	panic(unused + "background image")
}

// SetProtection panics: signing and protection are left to the laboratory's own means.
func (p *provider) SetProtection(*entity.Protection) { panic(unused + "password") }

// SetMetadata panics: the document's properties are set where its words are known.
func (p *provider) SetMetadata(*entity.Metadata) { panic(unused + "maroto metadata") }
