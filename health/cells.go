package health

import "iter"

// Cells are judged cells, in the job's order.
type Cells struct {
	plain []Cell
}

// CellsOf are the cells of a list, which stay where they are.
func CellsOf(list []Cell) Cells { return Cells{plain: list} }

// Len is how many cells there are.
func (c Cells) Len() int { return len(c.plain) }

// Between are the cells from an index on, up to but not with another.
func (c Cells) Between(from, to int) Cells { return Cells{plain: c.plain[from:to]} }

// At is the cell at an index from 0.
func (c Cells) At(i int) *Cell { return &c.plain[i] }

// All are the cells with their indices.
func (c Cells) All() iter.Seq2[int, *Cell] {
	return func(yield func(int, *Cell) bool) {
		for i := range c.Len() {
			if !yield(i, c.At(i)) {
				return
			}
		}
	}
}
