package job

import (
	"slices"
	"time"
)

// form is what may stand at a place of job.yaml. One table of keys and forms reads job.yaml and makes its schema.
type form[T any] interface {
	read(into *T, at place, r *reading) // leaves into as it is where the place is blank
	schema() *schema
}

// key is a key of a group that describes a T.
type key[T any] struct {
	name     string
	meaning  string // a sentence for a technician
	form     form[T]
	fallback string // what stands for a blank, written as in job.yaml
	needed   bool   // a blank is refused
}

// of makes a form of a T's part.
type of[T, U any] struct {
	part func(*T) *U
	form form[U]
}

func (o of[T, U]) read(into *T, at place, r *reading) { o.form.read(o.part(into), at, r) }
func (o of[T, U]) schema() *schema                    { return o.form.schema() }

// part lets a key fill one field of a T.
func part[T, U any](field func(*T) *U, form form[U]) form[T] { return of[T, U]{field, form} }

func asText[T any](field func(*T) *string) form[T] { return of[T, string]{field, text{}} }

func asDay[T any](field func(*T) *time.Time) form[T] { return of[T, time.Time]{field, day{}} }

func asNumber[T any](field func(*T) *float64, n number) form[T] { return of[T, float64]{field, n} }

func asPath[T any](field func(*T) *string, k kind) form[T] {
	return of[T, string]{field, location{k}}
}

// record is a group of keys.
type record[T any] []key[T]

func (keys record[T]) read(into *T, at place, r *reading) {
	if at.shape != group && !at.empty() {
		r.refuse(at, "write each key with its value on a line of its own, indented and without a dash", "%s is no group of keys; allowed: %s", at.found(), alternatives(keys.names()))
		return
	}
	for _, k := range keys {
		k.read(into, at.below(k.name), r)
	}
}

func (k key[T]) read(into *T, at place, r *reading) {
	if at.empty() && k.needed {
		r.refuse(at, k.meaning, "is blank, but needed")
		return
	}
	if at.empty() && k.fallback != "" {
		r.defaulted = append(r.defaulted, at.path)
		at.node = constant(k.fallback)
	}
	k.form.read(into, at, r)
}

func (keys record[T]) names() []string {
	names := make([]string, len(keys))
	for i, k := range keys {
		names[i] = k.name
	}
	return names
}

// constant is the node of a fallback: one value or [a, b].
func constant(text string) *node {
	r := &reading{}
	n := r.parse(text)
	if len(r.faults) > 0 {
		panic("job: no fallback can be made of " + text)
	}
	return n
}

// optional is a form that may be absent as a whole: nil where nothing is stated.
type optional[T any] struct{ form[T] }

func (o optional[T]) read(into **T, at place, r *reading) {
	if at.empty() {
		return
	}
	*into = new(T)
	o.form.read(*into, at, r)
}

// several is a list of one form.
type several[T any] struct {
	item   form[T]
	unique bool // no item may stand twice
}

func (s several[T]) read(into *[]T, at place, r *reading) {
	items := at.items
	if at.shape == scalar && at.text != "" || at.shape == group {
		r.refuse(at, "write it as [a, b], or one item a line, each after a dash", "%s is no list", at.found())
		return
	}
	for i, item := range items {
		p := place{at.path, item}
		switch {
		case item.empty():
			r.refuse(p, "remove the item or fill it in", "an item of the list is blank")
		case s.unique && slices.ContainsFunc(items[:i], func(earlier *node) bool { return earlier.text == item.text }):
			r.refuse(p, "remove one of the two", "%s stands twice in the list", item.found())
		default:
			var value T
			s.item.read(&value, p, r)
			*into = append(*into, value)
		}
	}
}
