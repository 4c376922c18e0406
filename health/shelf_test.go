package health

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"testing"

	"ohmledger/fit"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// drawer is a store that takes so many writes.
type drawer struct {
	bytes.Buffer
	writes int
}

func (d *drawer) Write(p []byte) (int, error) {
	if d.writes--; d.writes < 0 {
		return 0, errors.New("full")
	}
	return d.Buffer.Write(p)
}

func (d *drawer) ReadAt(p []byte, from int64) (int, error) {
	n := copy(p, d.Bytes()[from:])
	if n < len(p) {
		return n, io.ErrUnexpectedEOF
	}
	return n, nil
}

// longCells do not fit on a slab together.
func longCells(n int) []Cell {
	outline := &spectrum.Spectrum{Frequency: []float64{1, 10}}
	list := make([]Cell, n)
	for i := range list {
		row := &job.Measurement{Cell: fmt.Sprint(i), Line: i}
		list[i] = Cell{Name: fmt.Sprint(i), Verdict: Pass, Reason: strings.Repeat(fmt.Sprint(i, " "), 1<<15), Latest: i,
			Measurements: []Measurement{{Row: row, Spectrum: outline, ACResistance1kHz: fit.NewValue(float64(i), 1)}}}
	}
	list[n/2].Reason = strings.Repeat("long ", 1<<18) // longer than a slab
	return list
}

// What lies on a shelf comes back as it was, whether a store takes all, some or nothing, and to several readers at once.
func TestShelf(t *testing.T) {
	list := longCells(60)
	for name, store := range map[string]Store{"memory": nil, "store": &drawer{writes: 1e6}, "store that gets full": &drawer{writes: 2}} {
		s := newShelf(len(list), store)
		var fill sync.WaitGroup
		for i := range list {
			fill.Go(func() { s.put(i, &list[i]) })
		}
		fill.Wait()
		inMemory := len(slices.DeleteFunc(slices.Clone(s.slabs), func(b []byte) bool { return b == nil }))
		if all := len(s.slabs); all < 5 || (name == "store") != (inMemory == 1) || (name == "memory") != (inMemory == all) {
			t.Errorf("%s: %d of %d slabs are in memory", name, inMemory, all)
		}
		var read sync.WaitGroup
		for range 4 {
			read.Go(func() {
				for i, c := range s.cells().All() {
					want := &list[i]
					m := c.Measurements[0]
					if c.Reason != want.Reason || c.Latest != i || m.Row != want.Measurements[0].Row || m.Spectrum != want.Measurements[0].Spectrum ||
						m.ACResistance1kHz != want.Measurements[0].ACResistance1kHz {
						t.Errorf("%s: cell %d came back as %s", name, i, c.Name)
					}
				}
			})
		}
		read.Wait()
	}
}

// A shelf of few cells, of which a job of many parts has as many, takes little more than they do.
func TestSealedShelf(t *testing.T) {
	for name, store := range map[string]Store{"memory": nil, "store": &drawer{writes: 1}, "full store": &drawer{}} {
		s := newShelf(2, store)
		for i, c := range []Cell{{Name: "a"}, {Name: "b"}} {
			s.put(i, &c)
		}
		s.seal()
		if held := cap(s.slabs[0]); held > slabLength/100 || (name == "store") != (held == 0) {
			t.Errorf("%s: %d bytes are held", name, held)
		}
		if a, b := s.at(0).Name, s.at(1).Name; a != "a" || b != "b" {
			t.Errorf("%s: cells %q and %q", name, a, b)
		}
	}
	newShelf(0, nil).seal()
}

func TestCellsOfSeveral(t *testing.T) {
	of := func(names string) Cells {
		var list []Cell
		for _, name := range names {
			list = append(list, Cell{Name: string(name)})
		}
		return CellsOf(list)
	}
	names := func(c Cells) (s string) {
		for i, cell := range c.All() {
			if c.At(i).Name != cell.Name {
				t.Errorf("at %d is %s and %s", i, c.At(i).Name, cell.Name)
			}
			s += cell.Name
		}
		return s
	}
	joined := Joined([]Cells{of(""), of("abc"), of(""), of("d"), of("ef"), of("")})
	if got := names(joined); got != "abcdef" || joined.Len() != 6 {
		t.Errorf("%s, %d cells", got, joined.Len())
	}
	if got := names(joined.Between(2, 5)); got != "cde" {
		t.Errorf("between 2 and 5 are %s", got)
	}
	for range joined.All() {
		break
	}
	for _, i := range []int{-1, 6} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("there is a cell at %d", i)
				}
			}()
			joined.At(i)
		}()
	}
}

// A store that does not give back what it took is the system's fault, and no mistake.
func TestStoreFault(t *testing.T) {
	store := &drawer{writes: 1e6}
	s := newShelf(60, store)
	for i, c := range longCells(60) {
		s.put(i, &c)
	}
	s.seal()
	store.Truncate(10)
	defer func() {
		if fault, is := recover().(*StoreFault); !is || !errors.Is(fault, io.ErrUnexpectedEOF) {
			t.Errorf("recovered %v", fault)
		}
	}()
	s.at(0)
}
