package plain

import (
	"bufio"
	"encoding/binary"
	"errors"
	"math"
)

// Writer writes what codecs give it, and keeps the first fault.
type Writer struct {
	w    *bufio.Writer
	pool *Pool // nil: all is written
	err  error
	num  [binary.MaxVarintLen64]byte
}

// NewWriter writes all into w, which is the caller's to flush.
func NewWriter(w *bufio.Writer) *Writer { return &Writer{w: w} }

// Err is the first fault.
func (w *Writer) Err() error { return w.err }

// Count writes a number from 0 on.
func (w *Writer) Count(n int) { w.count(uint64(n)) }

func (w *Writer) bytes(b []byte) {
	if w.err == nil {
		_, w.err = w.w.Write(b)
	}
}

func (w *Writer) byte(b byte) {
	if w.err == nil {
		w.err = w.w.WriteByte(b)
	}
}

func (w *Writer) count(n uint64) {
	if n < 0x80 { // as a varint would be
		w.byte(byte(n))
		return
	}
	w.bytes(w.num[:binary.PutUvarint(w.num[:], n)])
}

func (w *Writer) integer(n int64) { w.bytes(w.num[:binary.PutVarint(w.num[:], n)]) }

func (w *Writer) float(x float64) {
	w.bytes(binary.LittleEndian.AppendUint64(w.num[:0], math.Float64bits(x)))
}

// text writes a text; where there is a pool, the number of one that is known to it, and of others 0 and the text.
func (w *Writer) text(s string) {
	if w.pool != nil {
		n := w.pool.number(s)
		if w.count(n); n > 0 {
			return
		}
	}
	w.count(uint64(len(s)))
	if w.err == nil {
		_, w.err = w.w.WriteString(s)
	}
}

// flag writes 1 or 0.
func (w *Writer) flag(b bool) {
	if b {
		w.byte(1)
	} else {
		w.byte(0)
	}
}

func (w *Writer) fail(err error) { w.err = errors.Join(w.err, err) }
