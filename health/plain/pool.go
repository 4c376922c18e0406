package plain

import (
	"bufio"
	"io"
	"maps"
	"reflect"
)

// Pool keeps what many written values hold in common: texts, and what pointers to held types point to. Of these only numbers are
// written, which its readers turn into what it keeps. It is filled by its writer alone; then several readers may go on at once.
type Pool struct {
	numbers  map[string]uint64 // of the texts that are kept, from 1; 0: it was seen once
	once     int               // how many were seen once
	texts    []string
	places   map[any]uint64 // of the pointers, from 1
	pointers []any
}

// Bounds of what a pool holds: the texts that are kept, and those that were seen once and may return.
const (
	mostTexts = 4096
	mostOnce  = 4096
)

// NewPool is empty.
func NewPool() *Pool { return &Pool{numbers: map[string]uint64{}, places: map[any]uint64{}} }

// NewWriter writes into w, and what is common into the pool.
func (p *Pool) NewWriter(w *bufio.Writer) *Writer { return &Writer{w: w, pool: p} }

// NewReader reads what writers of the pool wrote.
func (p *Pool) NewReader(r io.Reader) *Reader { return &Reader{r: bufio.NewReader(r), pool: p} }

// Seal says that nothing is written any more, and drops what only writers need.
func (p *Pool) Seal() { p.numbers, p.places = nil, nil }

// Reset goes on with other bytes.
func (r *Reader) Reset(from io.Reader) {
	r.r.Reset(from)
	r.err, r.depth = nil, 0
}

// number of a text, from 1; 0 where it is not kept. It is kept from the second time on.
func (p *Pool) number(s string) uint64 {
	n, seen := p.numbers[s]
	switch {
	case n > 0 || len(p.texts) == mostTexts:
	case seen:
		p.texts = append(p.texts, s)
		n = uint64(len(p.texts))
		p.numbers[s] = n
		p.once--
	default:
		p.note(s)
	}
	return n
}

// note remembers a text that was seen for the first time, and forgets all such where there are too many.
func (p *Pool) note(s string) {
	if p.once == mostOnce {
		maps.DeleteFunc(p.numbers, func(_ string, n uint64) bool { return n == 0 })
		p.once = 0
	}
	p.numbers[s] = 0
	p.once++
}

// place of a pointer, from 1.
func (p *Pool) place(pointer any) uint64 {
	n, known := p.places[pointer]
	if !known {
		p.pointers = append(p.pointers, pointer)
		n = uint64(len(p.pointers))
		p.places[pointer] = n
	}
	return n
}

// writeHeld writes the place of a pointer, 0 for none.
func writeHeld(w *Writer, v reflect.Value) {
	if v.IsNil() {
		w.count(0)
		return
	}
	w.count(w.pool.place(v.Interface()))
}

func readHeld(r *Reader, v reflect.Value) {
	if n := r.count(); n > 0 {
		v.Set(reflect.ValueOf(r.pool.pointers[n-1]))
	}
}
