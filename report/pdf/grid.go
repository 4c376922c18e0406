package pdf

import (
	"math"

	"github.com/johnfercher/maroto/v2/pkg/components/col"
	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/consts/border"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// mm is the width of a column.
type mm float64

// onGrid is the width that a column of it has.
func (w mm) onGrid() float64 { return math.Round(float64(w)*columnsPerMM) / columnsPerMM }

// holding is a column with its parts, which lie over one another unless they ask for room above.
func (w mm) holding(parts ...core.Component) core.Col {
	return col.New(int(math.Round(float64(w) * columnsPerMM))).Add(parts...)
}

// across is a row as high as the highest of its columns.
func across(columns ...core.Col) core.Row { return row.New().Add(columns...) }

// full is a row of one column over the whole width.
func full(parts ...core.Component) core.Row { return across(mm(textWidth).holding(parts...)) }

// empty is a row that keeps room, in mm.
func empty(height float64) core.Row { return row.New(height) }

// ruled puts a rule under a row.
func ruled(r core.Row, colour *props.Color, thickness float64) core.Row {
	return r.WithStyle(&props.Cell{BorderType: border.Bottom, BorderColor: colour, BorderThickness: thickness})
}

// ruledAbove puts a rule over a row.
func ruledAbove(r core.Row, colour *props.Color) core.Row { return r.WithStyle(lineAbove(colour)) }

func lineAbove(colour *props.Color) *props.Cell {
	return &props.Cell{BorderType: border.Top, BorderColor: colour, BorderThickness: medium}
}

// The thicknesses of rules, in mm.
const (
	fine   = 0.1
	medium = 0.2
	strong = 0.5
)
