package health

import (
	"bufio"
	"bytes"
	"io"
	"reflect"
	"slices"
	"sync"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
	"ohmledger/health/plain"
)

// Store is room outside of memory. Only who calls this package may know of files.
type Store interface {
	io.Writer
	io.ReaderAt
}

// StoreFault is what a panic carries where a store does not give back what it took: the fault is the system's and no mistake, but
// whoever looks at a cell cannot go on without it.
type StoreFault struct{ Err error }

func (f *StoreFault) Error() string {
	return "what was put aside for want of memory cannot be read back: " + f.Err.Error()
}

// Unwrap gives the system's error.
func (f *StoreFault) Unwrap() error { return f.Err }

// shelf keeps judged cells packed, a third of what they take as they are, and outside of memory where there is a store. It is
// filled by several goroutines, and read by several once it is full.
type shelf struct {
	lock    sync.Mutex
	codec   *plain.Codec[Cell]
	pool    *plain.Pool
	places  []shelved
	slabs   [][]byte // nil: in the store
	store   Store    // nil: there is none
	full    bool     // it takes no more
	stored  []int64  // where slabs begin in the store
	end     int64    // of what is in the store
	buffer  bytes.Buffer
	writer  *bufio.Writer
	to      *plain.Writer
	readers sync.Pool // of *plain.Reader
}

// shelved is where a cell lies on a shelf.
type shelved struct{ slab, from, to uint32 }

// slabLength is how long a slab is, bytes; that of a longer cell is as long as it.
const slabLength = 1 << 20

// newShelf has room for n cells. What does not go into the store stays in memory.
func newShelf(n int, store Store) *shelf {
	s := &shelf{codec: plain.Of[Cell](reflect.TypeFor[job.Measurement](), reflect.TypeFor[spectrum.Spectrum]()),
		pool: plain.NewPool(), places: make([]shelved, n), store: store}
	s.writer = bufio.NewWriter(&s.buffer)
	s.to = s.pool.NewWriter(s.writer)
	return s
}

// put packs a cell.
func (s *shelf) put(i int, c *Cell) {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.buffer.Reset()
	s.codec.Write(s.to, c)
	if err := s.to.Err(); err != nil {
		panic("health: a cell cannot be kept: " + err.Error())
	}
	_ = s.writer.Flush() // a buffer takes all
	n := s.buffer.Len()
	slab := s.slabFor(n)
	from := len(s.slabs[slab])
	s.slabs[slab] = append(s.slabs[slab], s.buffer.Bytes()...)
	s.places[i] = shelved{uint32(slab), uint32(from), uint32(from + n)}
}

// slabFor is the slab that has room for n bytes: the last, or a new one, and then the last goes into the store.
func (s *shelf) slabFor(n int) int {
	last := len(s.slabs) - 1
	if last >= 0 && len(s.slabs[last])+n <= cap(s.slabs[last]) {
		return last
	}
	var next []byte
	if last >= 0 && s.putAside(last) {
		next, s.slabs[last] = s.slabs[last][:0], nil
	}
	if cap(next) < n {
		next = make([]byte, 0, max(slabLength, n))
	}
	s.slabs, s.stored = append(s.slabs, next), append(s.stored, 0)
	return last + 1
}

// putAside writes a slab into the store, and reports whether it is there. A store that fails is not asked again.
func (s *shelf) putAside(slab int) bool {
	if s.store == nil || s.full {
		return false
	}
	n, err := s.store.Write(s.slabs[slab])
	if err != nil {
		s.full = true
		return false
	}
	s.stored[slab] = s.end
	s.end += int64(n)
	return true
}

// seal is called when all cells are packed: what only packing needs is dropped, and the last slab keeps no room that it does not
// need.
func (s *shelf) seal() {
	s.pool.Seal()
	last := len(s.slabs) - 1
	switch {
	case last < 0:
	case s.putAside(last):
		s.slabs[last] = nil
	default:
		s.slabs[last] = slices.Clone(s.slabs[last])
	}
}

// at unpacks a cell.
func (s *shelf) at(i int) *Cell {
	r, known := s.readers.Get().(*reading)
	if !known {
		r = &reading{}
		r.from = s.pool.NewReader(&r.bytes)
	}
	defer s.readers.Put(r)
	r.bytes.Reset(s.packed(r, s.places[i]))
	r.from.Reset(&r.bytes)
	c := new(Cell)
	s.codec.Read(r.from, c)
	if err := r.from.Err(); err != nil {
		panic("health: a cell that was kept cannot be read back: " + err.Error())
	}
	return c
}

// packed are the bytes of a cell.
func (s *shelf) packed(r *reading, at shelved) []byte {
	if slab := s.slabs[at.slab]; slab != nil {
		return slab[at.from:at.to]
	}
	r.fetched = slices.Grow(r.fetched[:0], int(at.to-at.from))[:at.to-at.from]
	if _, err := s.store.ReadAt(r.fetched, s.stored[at.slab]+int64(at.from)); err != nil {
		panic(&StoreFault{err})
	}
	return r.fetched
}

func (s *shelf) cells() Cells { return Cells{len(s.places), s.at} }

// reading of what lies on a shelf.
type reading struct {
	fetched []byte // from the store
	bytes   bytes.Reader
	from    *plain.Reader
}
