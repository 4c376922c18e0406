package part

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"time"

	"ohmledger/fit"
)

var errCorrupt = errors.New("its content is no part of a report")

// reader keeps the first fault; after it everything reads as zero. What it is given may be anything.
type reader struct {
	r     *bufio.Reader
	err   error
	texts map[string]string // each text once, however often it stands
	depth int
	num   [8]byte
}

// Bounds of what a part may hold, so that a damaged one is refused and not built.
const (
	longestText = 64 << 20
	mostItems   = 1 << 31
	deepest     = 100
	atOnce      = 4096 // items that are made room for before they are read
)

func (r *reader) fail(err error) {
	if r.err == nil {
		if err == io.EOF {
			err = io.ErrUnexpectedEOF
		}
		r.err = err
	}
}

func (r *reader) count() uint64 {
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

func (r *reader) float() float64 {
	if r.err != nil {
		return 0
	}
	if _, err := io.ReadFull(r.r, r.num[:]); err != nil {
		r.fail(err)
		return 0
	}
	return math.Float64frombits(binary.LittleEndian.Uint64(r.num[:]))
}

func (r *reader) text() string {
	n := r.count()
	if n > longestText {
		r.fail(errCorrupt)
	}
	if r.err != nil || n == 0 {
		return ""
	}
	if peeked, err := r.r.Peek(int(n)); err == nil { // short, as nearly all are
		s, known := r.texts[string(peeked)]
		if !known {
			s = string(peeked)
			r.texts[s] = s
		}
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

func (r *reader) value(v reflect.Value) {
	if r.err != nil {
		return
	}
	if r.depth++; r.depth > deepest {
		r.fail(errCorrupt)
	}
	defer func() { r.depth-- }()
	if of, is := own[v.Type()]; is {
		of.read(r, v)
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(r.count() == 1)
	case reflect.Int:
		n, err := binary.ReadVarint(r.r)
		if err != nil {
			r.fail(err)
		}
		v.SetInt(n)
	case reflect.Uint8:
		b, err := r.r.ReadByte()
		if err != nil {
			r.fail(err)
		}
		v.SetUint(uint64(b))
	case reflect.Float64:
		v.SetFloat(r.float())
	case reflect.Complex128:
		re := r.float()
		v.SetComplex(complex(re, r.float()))
	case reflect.String:
		v.SetString(r.text())
	case reflect.Pointer:
		if r.count() == 1 {
			v.Set(reflect.New(v.Type().Elem()))
			r.value(v.Elem())
		}
	case reflect.Array:
		for i := range v.Len() {
			r.value(v.Index(i))
		}
	case reflect.Slice:
		r.items(v)
	case reflect.Map:
		r.entries(v)
	case reflect.Struct:
		for i := range v.NumField() {
			if kept(v.Type(), i) {
				r.value(v.Field(i))
			}
		}
	default:
		panic(fmt.Sprintf("part: nothing is known about %s", v.Type()))
	}
}

func (r *reader) items(v reflect.Value) {
	n := r.count()
	if r.err != nil || n == 0 {
		return
	}
	n--
	list := reflect.MakeSlice(v.Type(), 0, int(min(n, atOnce)))
	for range n {
		if r.err != nil {
			return
		}
		list = reflect.Append(list, reflect.Zero(v.Type().Elem()))
		r.value(list.Index(list.Len() - 1))
	}
	v.Set(list)
}

func (r *reader) entries(v reflect.Value) {
	n := r.count()
	if r.err != nil || n == 0 {
		return
	}
	v.Set(reflect.MakeMap(v.Type()))
	for range n - 1 {
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		r.value(key)
		r.value(value)
		if r.err != nil {
			return
		}
		v.SetMapIndex(key, value)
	}
}

func readValue(r *reader, v reflect.Value) {
	if r.count() != 1 {
		return
	}
	x, u := r.float(), r.float()
	switch {
	case r.err != nil:
	case math.IsNaN(x) || math.IsInf(x, 0) || !(u >= 0) || math.IsInf(u, 0):
		r.fail(errCorrupt)
	default:
		v.Set(reflect.ValueOf(fit.NewValue(x, u)))
	}
}

func readTime(r *reader, v reflect.Value) {
	var t time.Time
	if err := t.UnmarshalBinary([]byte(r.text())); r.err == nil && err != nil {
		r.fail(errCorrupt)
	}
	v.Set(reflect.ValueOf(t))
}
