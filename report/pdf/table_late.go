package pdf

import (
	"github.com/johnfercher/go-tree/node"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// lateRow is a record of a listing, or a part of a tall one. It becomes a row when it is measured and again when it is set, and
// is none in between: so a long table takes little.
type lateRow struct {
	setter       *tableSetter
	record, part int
	height       float64 // mm; 0: not measured yet
}

var _ core.Row = (*lateRow)(nil)

// row is the row as maroto has it.
func (r *lateRow) row() core.Row {
	parts := r.setter.parts(r.setter.table.record(r.record))
	row := r.setter.row(parts[r.part]).WithStyle(r.setter.ground(r.record, r.part == len(parts)-1))
	row.SetConfig(r.setter.provider.config)
	return row
}

// GetHeight is the height in mm.
func (r *lateRow) GetHeight(p core.Provider, cell *entity.Cell) float64 {
	if r.height == 0 {
		r.height = r.row().GetHeight(p, cell)
	}
	return r.height
}

// Render sets the row.
func (r *lateRow) Render(p core.Provider, cell entity.Cell) { r.row().Render(p, cell) }

// SetConfig changes nothing: the setter's holds.
func (r *lateRow) SetConfig(*entity.Config) {}

// Add and WithStyle change nothing either: a record has its columns and its ground.
func (r *lateRow) Add(...core.Col) core.Row { return r }

// WithStyle does what Add does.
func (r *lateRow) WithStyle(*props.Cell) core.Row { return r }

// GetColumns are those of the row.
func (r *lateRow) GetColumns() []core.Col { return r.row().GetColumns() }

// GetStructure is that of the row.
func (r *lateRow) GetStructure() *node.Node[core.Structure] { return r.row().GetStructure() }
