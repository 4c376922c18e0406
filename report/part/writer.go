package part

import (
	"bufio"
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"math"
	"reflect"
	"slices"
	"time"

	"ohmledger/fit"
)

// A part is plain data: what the structs of the assessment hold, field after field in the order of their declaration. Every
// number keeps all its bits, those that no text format has too, an absent list stays other than an empty one, and maps are
// written in the order of their keys: so the same data give the same bytes, and the same data come back.

// derived are unexported fields that nothing rests on once a judgement is made.
var derived = map[string]bool{"health.Measurement.interpolation": true}

// own are types whose fields are not to be had from outside, with how each is written and read.
var own = map[reflect.Type]struct {
	write func(w *writer, v reflect.Value)
	read  func(r *reader, v reflect.Value)
}{
	reflect.TypeFor[fit.Value](): {writeValue, readValue},
	reflect.TypeFor[time.Time](): {writeTime, readTime},
}

// writer keeps the first fault.
type writer struct {
	w   *bufio.Writer
	err error
	num [binary.MaxVarintLen64]byte
}

func (w *writer) bytes(b []byte) {
	if w.err == nil {
		_, w.err = w.w.Write(b)
	}
}

func (w *writer) count(n uint64) { w.bytes(w.num[:binary.PutUvarint(w.num[:], n)]) }
func (w *writer) float(x float64) {
	w.bytes(binary.LittleEndian.AppendUint64(w.num[:0], math.Float64bits(x)))
}
func (w *writer) text(s string) {
	w.count(uint64(len(s)))
	if w.err == nil {
		_, w.err = w.w.WriteString(s)
	}
}

// flag writes 1 or 0.
func (w *writer) flag(b bool) {
	if b {
		w.count(1)
	} else {
		w.count(0)
	}
}

func (w *writer) value(v reflect.Value) {
	if of, is := own[v.Type()]; is {
		of.write(w, v)
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		w.flag(v.Bool())
	case reflect.Int:
		w.bytes(w.num[:binary.PutVarint(w.num[:], v.Int())])
	case reflect.Uint8:
		w.bytes([]byte{byte(v.Uint())})
	case reflect.Float64:
		w.float(v.Float())
	case reflect.Complex128:
		w.float(real(v.Complex()))
		w.float(imag(v.Complex()))
	case reflect.String:
		w.text(v.String())
	case reflect.Pointer:
		if w.flag(!v.IsNil()); !v.IsNil() {
			w.value(v.Elem())
		}
	case reflect.Array:
		w.items(v)
	case reflect.Slice:
		if v.IsNil() {
			w.count(0)
			return
		}
		w.count(uint64(v.Len()) + 1)
		w.items(v)
	case reflect.Map:
		w.entries(v)
	case reflect.Struct:
		for i := range v.NumField() {
			if kept(v.Type(), i) {
				w.value(v.Field(i))
			}
		}
	default:
		panic(fmt.Sprintf("part: nothing is known about %s", v.Type()))
	}
}

func (w *writer) items(v reflect.Value) {
	for i := range v.Len() {
		w.value(v.Index(i))
	}
}

func (w *writer) entries(v reflect.Value) {
	if v.IsNil() {
		w.count(0)
		return
	}
	w.count(uint64(v.Len()) + 1)
	keys := v.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int {
		if a.Kind() == reflect.String {
			return cmp.Compare(a.String(), b.String())
		}
		return cmp.Compare(a.Int(), b.Int())
	})
	for _, k := range keys {
		w.value(k)
		w.value(v.MapIndex(k))
	}
}

// kept reports whether a field is written. One that is neither exported nor known to be derived is a programmer's mistake.
func kept(t reflect.Type, i int) bool {
	f := t.Field(i)
	if f.IsExported() {
		return true
	}
	if name := t.String() + "." + f.Name; !derived[name] {
		panic(fmt.Sprintf("part: %s cannot be written and is not known to be derived", name))
	}
	return false
}

func writeValue(w *writer, v reflect.Value) {
	x := v.Interface().(fit.Value)
	if w.flag(x.Known()); x.Known() {
		w.float(x.Estimate())
		w.float(x.StandardUncertainty())
	}
}

func writeTime(w *writer, v reflect.Value) {
	b, err := v.Interface().(time.Time).MarshalBinary()
	w.err = errors.Join(w.err, err)
	w.text(string(b))
}

// shape describes a type and all that it holds, so that a part of another build is not mistaken for one of this.
func shape(h hash.Hash, t reflect.Type, seen map[reflect.Type]bool) {
	fmt.Fprintf(h, "%s:%s;", t, t.Kind())
	if _, is := own[t]; is || seen[t] {
		return
	}
	seen[t] = true
	switch t.Kind() {
	case reflect.Map:
		shape(h, t.Key(), seen)
		shape(h, t.Elem(), seen)
	case reflect.Pointer, reflect.Slice, reflect.Array:
		shape(h, t.Elem(), seen)
	case reflect.Struct:
		for i := range t.NumField() {
			if kept(t, i) {
				fmt.Fprintf(h, "%s ", t.Field(i).Name)
				shape(h, t.Field(i).Type, seen)
			}
		}
	}
}
