// Package plain writes plain data as bytes, and reads it back bit for bit.
package plain

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"reflect"
	"time"

	"ohmledger/fit"
)

// Plain data is what structs hold, field after field in the order of their declaration. Every number keeps all its bits, those
// that no text format has too, an absent list stays other than an empty one, and maps are written in the order of their keys:
// so the same data give the same bytes, and the same data come back. Unexported fields are not written; each is tagged
// `plain:"derived"`, which says that nothing rests on it any more.

// Codec knows how values of one type are written and read.
type Codec[T any] struct{ way *way }

// way is how values of a type are written and read.
type way struct {
	write func(w *Writer, v reflect.Value)
	read  func(r *Reader, v reflect.Value)
}

// Of is the codec of a type. It panics where the type holds what is no plain data: a programmer's mistake. What pointers to the
// held types point to is not written but kept in a Pool.
func Of[T any](held ...reflect.Type) *Codec[T] {
	b := &builder{known: map[reflect.Type]*way{}, held: map[reflect.Type]bool{}}
	for _, t := range held {
		b.held[t] = true
	}
	return &Codec[T]{b.way(reflect.TypeFor[T]())}
}

// Write writes a value. The first fault is the Writer's to tell.
func (c *Codec[T]) Write(w *Writer, x *T) { c.way.write(w, reflect.ValueOf(x).Elem()) }

// Read reads a value. After a fault, which is the Reader's to tell, it is not complete.
func (c *Codec[T]) Read(r *Reader, x *T) { c.way.read(r, reflect.ValueOf(x).Elem()) }

// Shape describes the type and all that it holds in 16 characters, so that what another build wrote is not mistaken for this one's.
func (c *Codec[T]) Shape() string {
	sum := sha256.New()
	shape(sum, reflect.TypeFor[T](), map[reflect.Type]bool{})
	return hex.EncodeToString(sum.Sum(nil)[:8])
}

// builder finds out the way of each type once.
type builder struct {
	known map[reflect.Type]*way
	held  map[reflect.Type]bool
}

func (b *builder) way(t reflect.Type) *way {
	if found := b.known[t]; found != nil {
		return found
	}
	found := &way{} // stands before it is filled: types may hold themselves
	b.known[t] = found
	*found = b.build(t)
	return found
}

func (b *builder) build(t reflect.Type) way {
	switch own, is := own[t]; {
	case is:
		return own
	case t.Kind() == reflect.Pointer && b.held[t.Elem()]:
		return way{writeHeld, readHeld}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return pointer(b.way(t.Elem()), t.Elem())
	case reflect.Array:
		return array(b.way(t.Elem()), t.Len())
	case reflect.Slice:
		return slice(b.way(t.Elem()), t)
	case reflect.Map:
		return mapping(b.way(t.Key()), b.way(t.Elem()), t)
	case reflect.Struct:
		return b.structure(t)
	}
	simple, is := simple[t.Kind()]
	if !is {
		panic(fmt.Sprintf("plain: nothing is known about %s", t))
	}
	return simple
}

// own are types whose fields are not to be had from outside.
var own = map[reflect.Type]way{
	reflect.TypeFor[fit.Value](): {writeValue, readValue},
	reflect.TypeFor[time.Time](): {writeTime, readTime},
}

// simple are the kinds that hold nothing else.
var simple = map[reflect.Kind]way{
	reflect.Bool:       {func(w *Writer, v reflect.Value) { w.flag(v.Bool()) }, func(r *Reader, v reflect.Value) { v.SetBool(r.count() == 1) }},
	reflect.Int:        {func(w *Writer, v reflect.Value) { w.integer(v.Int()) }, func(r *Reader, v reflect.Value) { v.SetInt(r.integer()) }},
	reflect.Uint8:      {func(w *Writer, v reflect.Value) { w.byte(byte(v.Uint())) }, func(r *Reader, v reflect.Value) { v.SetUint(uint64(r.byte())) }},
	reflect.Float64:    {func(w *Writer, v reflect.Value) { w.float(v.Float()) }, func(r *Reader, v reflect.Value) { v.SetFloat(r.float()) }},
	reflect.Complex128: {writeComplex, readComplex},
	reflect.String:     {func(w *Writer, v reflect.Value) { w.text(v.String()) }, func(r *Reader, v reflect.Value) { v.SetString(r.text()) }},
}

// fields are those of a struct that are written.
func fields(t reflect.Type) (indices []int) {
	for i := range t.NumField() {
		switch f := t.Field(i); {
		case f.IsExported():
			indices = append(indices, i)
		case f.Tag.Get("plain") != "derived":
			panic(fmt.Sprintf("plain: %s.%s cannot be written and is not known to be derived", t, f.Name))
		}
	}
	return indices
}

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
		for _, i := range fields(t) {
			fmt.Fprintf(h, "%s ", t.Field(i).Name)
			shape(h, t.Field(i).Type, seen)
		}
	}
}
