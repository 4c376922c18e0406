package plain

import (
	"bufio"
	"encoding/binary"
	"errors"
	"io"
	"math"
)

var errCorrupt = errors.New("it holds what nobody wrote there")

// Reader reads what codecs want, and keeps the first fault; after it everything reads as zero. What it is given may be anything.
type Reader struct {
	r     *bufio.Reader
	pool  *Pool // nil: all stands in what is read
	err   error
	texts map[string]string // each text once, however often it stands; nil: they are not compared
	depth int
	num   [8]byte
}

// NewReader reads from r. Equal texts are held once.
func NewReader(r *bufio.Reader) *Reader { return &Reader{r: r, texts: map[string]string{}} }

// Err is the first fault.
func (r *Reader) Err() error { return r.err }

// Count reads a number from 0 on.
func (r *Reader) Count() int { return int(r.count()) }

// Bounds of what may be read, so that what is damaged is refused and not built.
const (
	longestText = 64 << 20
	mostItems   = 1 << 31
	deepest     = 100
	atOnce      = 4096 // items that are made room for before they are read
)

func (r *Reader) fail(err error) {
	if r.err == nil {
		if err == io.EOF {
			err = io.ErrUnexpectedEOF
		}
		r.err = err
	}
}

// deeper counts how deep a value lies in others, and reports whether it may be read.
func (r *Reader) deeper() bool {
	if r.depth++; r.depth > deepest {
		r.fail(errCorrupt)
	}
	return r.err == nil
}

func (r *Reader) byte() byte {
	if r.err != nil {
		return 0
	}
	b, err := r.r.ReadByte()
	if err != nil {
		r.fail(err)
	}
	return b
}

func (r *Reader) count() uint64 {
	if r.err != nil {
		return 0
	}
	n, err := binary.ReadUvarint(r.r)
	if err != nil {
		r.fail(err)
		return 0
	}
	if n > mostItems {
		r.fail(errCorrupt)
		return 0
	}
	return n
}

func (r *Reader) integer() int64 {
	if r.err != nil {
		return 0
	}
	n, err := binary.ReadVarint(r.r)
	if err != nil {
		r.fail(err)
	}
	return n
}

func (r *Reader) float() float64 {
	if r.err != nil {
		return 0
	}
	if _, err := io.ReadFull(r.r, r.num[:]); err != nil {
		r.fail(err)
		return 0
	}
	return math.Float64frombits(binary.LittleEndian.Uint64(r.num[:]))
}

func (r *Reader) text() string {
	if r.pool != nil {
		if n := r.count(); n > 0 {
			return r.pool.texts[n-1]
		}
	}
	n := r.count()
	if n > longestText {
		r.fail(errCorrupt)
	}
	if r.err != nil || n == 0 {
		return ""
	}
	if peeked, err := r.r.Peek(int(n)); err == nil { // short, as nearly all are
		s := r.once(peeked)
		_, _ = r.r.Discard(int(n)) // of what was peeked
		return s
	}
	b, err := io.ReadAll(io.LimitReader(r.r, int64(n)))
	if err == nil && uint64(len(b)) < n {
		err = io.ErrUnexpectedEOF
	}
	if err != nil {
		r.fail(err)
		return ""
	}
	return string(b)
}

func (r *Reader) once(b []byte) string {
	s, known := r.texts[string(b)]
	if !known {
		s = string(b)
		if r.texts != nil {
			r.texts[s] = s
		}
	}
	return s
}
