package pdf

import (
	"github.com/johnfercher/go-tree/node"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
)

// drawn is a component of a height in mm that draws itself into its cell, whose place on the page it is
// given in mm. It is how figures, verdict marks and the targets of links come among rows and columns.
type drawn struct {
	height float64
	draw   func(p *provider, x, y float64, cell *entity.Cell)
}

var _ core.Component = (*drawn)(nil)

// SetConfig has nothing to keep.
func (*drawn) SetConfig(*entity.Config) {}

// GetStructure names the component.
func (d *drawn) GetStructure() *node.Node[core.Structure] {
	return node.New(core.Structure{Type: "drawn", Value: d.height})
}

// GetHeight gives the height in mm.
func (d *drawn) GetHeight(core.Provider, *entity.Cell) float64 { return d.height }

// Render draws.
func (d *drawn) Render(p core.Provider, cell *entity.Cell) {
	if d.draw == nil {
		return // it only keeps room
	}
	own := p.(*provider)
	x, y := own.at(cell.X, cell.Y)
	d.draw(own, x, y, cell)
}
