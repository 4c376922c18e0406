package plain

import (
	"cmp"
	"math"
	"reflect"
	"slices"
	"time"

	"ohmledger/fit"
)

func pointer(of *way, t reflect.Type) way {
	write := func(w *Writer, v reflect.Value) {
		if w.flag(!v.IsNil()); !v.IsNil() {
			of.write(w, v.Elem())
		}
	}
	return way{write, func(r *Reader, v reflect.Value) {
		if r.count() == 1 && r.deeper() {
			p := reflect.New(t)
			of.read(r, p.Elem())
			v.Set(p)
			r.depth--
		}
	}}
}

func array(of *way, n int) way {
	write := func(w *Writer, v reflect.Value) {
		for i := range n {
			of.write(w, v.Index(i))
		}
	}
	return way{write, func(r *Reader, v reflect.Value) {
		for i := range n {
			of.read(r, v.Index(i))
		}
	}}
}

// slice counts from 1, so that an absent list is other than an empty one.
func slice(of *way, t reflect.Type) way {
	write := func(w *Writer, v reflect.Value) {
		if v.IsNil() {
			w.count(0)
			return
		}
		n := v.Len()
		w.count(uint64(n) + 1)
		for i := range n {
			of.write(w, v.Index(i))
		}
	}
	return way{write, func(r *Reader, v reflect.Value) {
		n := r.count()
		if n == 0 || !r.deeper() {
			return
		}
		v.Set(items(r, of, t, int(n-1)))
		r.depth--
	}}
}

// items reads a list, for which room is made as it comes.
func items(r *Reader, of *way, t reflect.Type, n int) reflect.Value {
	list := reflect.MakeSlice(t, min(n, atOnce), min(n, atOnce))
	for i := range n {
		if i == list.Len() {
			list = reflect.AppendSlice(list, reflect.MakeSlice(t, min(n-i, i), min(n-i, i)))
		}
		if of.read(r, list.Index(i)); r.err != nil {
			break
		}
	}
	return list
}

func mapping(key, value *way, t reflect.Type) way {
	write := func(w *Writer, v reflect.Value) {
		if v.IsNil() {
			w.count(0)
			return
		}
		w.count(uint64(v.Len()) + 1)
		keys := v.MapKeys()
		slices.SortFunc(keys, compared)
		for _, k := range keys {
			key.write(w, k)
			value.write(w, v.MapIndex(k))
		}
	}
	return way{write, func(r *Reader, v reflect.Value) {
		n := r.count()
		if n == 0 || !r.deeper() {
			return
		}
		v.Set(reflect.MakeMap(t))
		for i := uint64(1); i < n && r.err == nil; i++ {
			k, x := reflect.New(t.Key()).Elem(), reflect.New(t.Elem()).Elem()
			key.read(r, k)
			value.read(r, x)
			if r.err == nil {
				v.SetMapIndex(k, x)
			}
		}
		r.depth--
	}}
}

// compared orders the keys of a map.
func compared(a, b reflect.Value) int {
	if a.Kind() == reflect.String {
		return cmp.Compare(a.String(), b.String())
	}
	return cmp.Compare(a.Int(), b.Int())
}

func (b *builder) structure(t reflect.Type) way {
	type field struct {
		index int
		of    *way
	}
	var list []field
	for _, i := range fields(t) {
		list = append(list, field{i, b.way(t.Field(i).Type)})
	}
	write := func(w *Writer, v reflect.Value) {
		for _, f := range list {
			f.of.write(w, v.Field(f.index))
		}
	}
	return way{write, func(r *Reader, v reflect.Value) {
		for _, f := range list {
			f.of.read(r, v.Field(f.index))
		}
	}}
}

func writeComplex(w *Writer, v reflect.Value) {
	w.float(real(v.Complex()))
	w.float(imag(v.Complex()))
}

func readComplex(r *Reader, v reflect.Value) {
	re := r.float()
	v.SetComplex(complex(re, r.float()))
}

func writeValue(w *Writer, v reflect.Value) {
	x := pointed[fit.Value](v)
	if w.flag(x.Known()); x.Known() {
		w.float(x.Estimate())
		w.float(x.StandardUncertainty())
	}
}

// pointed is what a value of a type holds, without a copy where that can be had.
func pointed[T any](v reflect.Value) *T {
	if v.CanAddr() {
		return v.Addr().Interface().(*T)
	}
	x := v.Interface().(T)
	return &x
}

func readValue(r *Reader, v reflect.Value) {
	if r.count() != 1 {
		return
	}
	x, u := r.float(), r.float()
	switch {
	case r.err != nil:
	case math.IsNaN(x) || math.IsInf(x, 0) || !(u >= 0) || math.IsInf(u, 0):
		r.fail(errCorrupt)
	default:
		*pointed[fit.Value](v) = fit.NewValue(x, u)
	}
}

func writeTime(w *Writer, v reflect.Value) {
	b, err := pointed[time.Time](v).MarshalBinary()
	if err != nil {
		w.fail(err)
	}
	w.count(uint64(len(b)))
	w.bytes(b)
}

func readTime(r *Reader, v reflect.Value) {
	n := r.count()
	if n > longestTime {
		r.fail(errCorrupt)
		return
	}
	b := make([]byte, n)
	for i := range b {
		b[i] = r.byte()
	}
	if err := pointed[time.Time](v).UnmarshalBinary(b); r.err == nil && err != nil {
		r.fail(errCorrupt)
	}
}

// longestTime is more than a time takes, bytes.
const longestTime = 32
