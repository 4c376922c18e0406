package health

import (
	"bufio"
	"bytes"
	"reflect"
	"sync"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
	"ohmledger/health/plain"
)

// shelf keeps judged cells packed: a fourth of what they take as they are. It is filled by several goroutines, and read by
// several once it is full.
type shelf struct {
	lock    sync.Mutex
	codec   *plain.Codec[Cell]
	pool    *plain.Pool
	places  []shelved
	slabs   [][]byte
	buffer  bytes.Buffer
	writer  *bufio.Writer
	to      *plain.Writer
	readers sync.Pool // of *plain.Reader
}

// shelved is where a cell lies on a shelf.
type shelved struct{ slab, from, to uint32 }

// slabLength is how long a slab is, bytes; that of a longer cell is as long as it.
const slabLength = 1 << 20

// newShelf has room for n cells.
func newShelf(n int) *shelf {
	s := &shelf{codec: CellCodec(reflect.TypeFor[job.Measurement](), reflect.TypeFor[spectrum.Spectrum]()), pool: plain.NewPool(), places: make([]shelved, n)}
	s.writer = bufio.NewWriter(&s.buffer)
	s.to = s.pool.NewWriter(s.writer)
	return s
}

// CellCodec is how a cell is written and read, with what only is pointed to.
func CellCodec(held ...reflect.Type) *plain.Codec[Cell] { return plain.Of[Cell](held...) }

// put packs a cell.
func (s *shelf) put(i int, c *Cell) {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.buffer.Reset()
	s.codec.Write(s.to, c)
	_ = s.writer.Flush() // a buffer takes all
	n := s.buffer.Len()
	last := len(s.slabs) - 1
	if last < 0 || len(s.slabs[last])+n > cap(s.slabs[last]) {
		s.slabs = append(s.slabs, make([]byte, 0, max(slabLength, n)))
		last++
	}
	from := len(s.slabs[last])
	s.slabs[last] = append(s.slabs[last], s.buffer.Bytes()...)
	s.places[i] = shelved{uint32(last), uint32(from), uint32(from + n)}
}

// at unpacks a cell.
func (s *shelf) at(i int) *Cell {
	r, known := s.readers.Get().(*reading)
	if !known {
		r = &reading{}
		r.from = s.pool.NewReader(&r.bytes)
	}
	defer s.readers.Put(r)
	p := s.places[i]
	r.bytes.Reset(s.slabs[p.slab][p.from:p.to])
	r.from.Reset(&r.bytes)
	c := new(Cell)
	s.codec.Read(r.from, c)
	if err := r.from.Err(); err != nil {
		panic("health: a cell that was kept cannot be read back: " + err.Error())
	}
	return c
}

func (s *shelf) cells() Cells { return Cells{len(s.places), s.at} }

// reading of what lies on a shelf.
type reading struct {
	bytes bytes.Reader
	from  *plain.Reader
}
