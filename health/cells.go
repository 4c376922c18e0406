package health

import (
	"iter"
	"slices"
)

// Cells are judged cells, in the job's order. Of large jobs they are kept packed, and what is looked at is a copy that lasts as
// long as its reader holds it: so whoever goes through them looks at one at a time, and a change of it is lost.
type Cells struct {
	n  int
	at func(i int) *Cell
}

// CellsOf are the cells of a list, which stay where they are.
func CellsOf(list []Cell) Cells {
	return Cells{len(list), func(i int) *Cell { return &list[i] }}
}

// Joined are the cells of several, one after another.
func Joined(several []Cells) Cells {
	ends := make([]int, len(several))
	n := 0
	for k, c := range several {
		n += c.n
		ends[k] = n
	}
	return Cells{n, func(i int) *Cell {
		k, _ := slices.BinarySearch(ends, i+1)
		return several[k].at(i - ends[k] + several[k].n)
	}}
}

// Len is how many cells there are.
func (c Cells) Len() int { return c.n }

// At is the cell at an index from 0.
func (c Cells) At(i int) *Cell {
	if i < 0 || i >= c.n {
		panic("health: there is no such cell")
	}
	return c.at(i)
}

// Between are the cells from an index on, up to but not with another.
func (c Cells) Between(from, to int) Cells {
	return Cells{to - from, func(i int) *Cell { return c.At(from + i) }}
}

// All are the cells with their indices.
func (c Cells) All() iter.Seq2[int, *Cell] {
	return func(yield func(int, *Cell) bool) {
		for i := range c.n {
			if !yield(i, c.at(i)) {
				return
			}
		}
	}
}
