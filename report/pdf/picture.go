package pdf

import (
	"bytes"
	"fmt"
	"image"
	_ "image/jpeg"
	_ "image/png"

	"github.com/johnfercher/maroto/v2/pkg/consts/extension"
)

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
