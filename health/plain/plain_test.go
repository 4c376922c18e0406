package plain

import (
	"bufio"
	"bytes"
	"errors"
	"math"
	"reflect"
	"slices"
	"strconv"
	"testing"
	"time"

	"ohmledger/fit"
)

// awkward is plain data of every kind that a part holds, with values that text formats lose.
type awkward struct {
	Numbers            []float64
	Absent, Empty      []int
	Zero, None         *float64
	Impedance          []complex128
	Value, Unknown     fit.Value
	Day                time.Time
	Named              map[string]string
	By                 map[fit.Element]fit.Interval
	NoMap, NothingInIt map[string]string
	Text               string
	Pair               [2]fit.Element
	Yes                bool
	Raw                []byte
	Within             *nested
	Shared             *row
}

// nested holds its own kind.
type nested struct {
	Code string
	List []nested
	More *nested
}

// row is what others point to.
type row struct{ Text string }

func sample() awkward {
	zero := 0.0
	return awkward{
		Numbers: []float64{math.Inf(1), math.Inf(-1), math.Copysign(0, -1), math.SmallestNonzeroFloat64, math.Pi, -1e308},
		Empty:   []int{}, Zero: &zero, Impedance: []complex128{complex(1, -2)}, Value: fit.NewValue(0.1, 0),
		Day:   time.Date(2026, 3, 10, 9, 10, 0, 123, time.FixedZone("", 5400)),
		Named: map[string]string{"b": "2", "a": "1", "": "x"}, By: map[fit.Element]fit.Interval{fit.ChargeTransfer: {Lower: 1, Upper: math.Inf(1)}, fit.Ohmic: {}},
		NothingInIt: map[string]string{}, Text: "Ω \x00 \xff", Pair: [2]fit.Element{fit.ChargeTransfer, fit.Ohmic}, Yes: true, Raw: []byte{0, 255},
		Within: &nested{"a", []nested{{"b", nil, nil}}, &nested{"c", nil, nil}}, Shared: &row{"a row"},
	}
}

func encoded[T any](t *testing.T, v T) []byte {
	t.Helper()
	var b bytes.Buffer
	buffered := bufio.NewWriter(&b)
	w := NewWriter(buffered)
	Of[T]().Write(w, &v)
	if err := errors.Join(w.Err(), buffered.Flush()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func decoded[T any](b []byte, into *T) error {
	r := NewReader(bufio.NewReader(bytes.NewReader(b)))
	Of[T]().Read(r, into)
	return r.Err()
}

func TestThereAndBack(t *testing.T) {
	want := sample()
	var got awkward
	if err := decoded(encoded(t, want), &got); err != nil {
		t.Fatal(err)
	}
	if !got.Day.Equal(want.Day) || got.Day.Format(time.RFC3339Nano) != want.Day.Format(time.RFC3339Nano) {
		t.Errorf("%v, want %v", got.Day, want.Day)
	}
	got.Day = want.Day // zones are equal though their pointers are not
	if !reflect.DeepEqual(got, want) || math.Signbit(got.Numbers[2]) == false {
		t.Errorf("%#v, want %#v", got, want)
	}
	nan := []float64{math.NaN()}
	var back []float64
	if err := decoded(encoded(t, nan), &back); err != nil || !math.IsNaN(back[0]) {
		t.Errorf("%v, %v", back, err)
	}
}

func TestSameDataSameBytes(t *testing.T) {
	first := encoded(t, sample())
	for range 20 {
		if !bytes.Equal(first, encoded(t, sample())) {
			t.Fatal("the same data gave other bytes")
		}
	}
}

// Every length of a beginning is refused, and every changed byte either that or read as something: never a panic.
func TestDamagedContent(t *testing.T) {
	whole := encoded(t, sample())
	for n := range whole {
		var got awkward
		if decoded(whole[:n], &got) == nil {
			t.Fatalf("the first %d of %d bytes were taken for all", n, len(whole))
		}
	}
	for i := range whole {
		for _, change := range []byte{1, 0x80, 0xff} {
			broken := slices.Clone(whole)
			broken[i] ^= change
			var got awkward
			_ = decoded(broken, &got)
		}
	}
}

func FuzzContent(f *testing.F) {
	f.Add([]byte{2, 3})
	f.Fuzz(func(t *testing.T, b []byte) {
		var got awkward
		if decoded(b, &got) != nil {
			return
		}
		var again awkward
		if err := decoded(encoded(t, got), &again); err != nil {
			t.Errorf("what was read cannot be read again: %v", err)
		}
	})
}

// What a pool keeps is written once, and read as what it was: the same pointer, the same text.
func TestPool(t *testing.T) {
	pool, codec := NewPool(), Of[awkward](reflect.TypeFor[row]())
	var b bytes.Buffer
	buffered := bufio.NewWriter(&b)
	w := pool.NewWriter(buffered)
	want := sample()
	var ends []int
	for range 5 {
		codec.Write(w, &want)
		if err := errors.Join(w.Err(), buffered.Flush()); err != nil {
			t.Fatal(err)
		}
		ends = append(ends, b.Len())
	}
	if first, last := ends[0], ends[4]-ends[3]; last >= first {
		t.Errorf("the first takes %d bytes, the last %d", first, last)
	}
	r, from := pool.NewReader(nil), 0
	for _, to := range ends {
		var got awkward
		r.Reset(bytes.NewReader(b.Bytes()[from:to]))
		codec.Read(r, &got)
		if from = to; r.Err() != nil || got.Shared != want.Shared {
			t.Fatalf("%v, points to %p, want %p", r.Err(), got.Shared, want.Shared)
		}
		if got.Day = want.Day; !reflect.DeepEqual(got, want) {
			t.Errorf("%#v, want %#v", got, want)
		}
	}
}

// A pool keeps the texts that return, whatever many other texts come in between, and never more than it may.
func TestPoolKeepsWhatReturns(t *testing.T) {
	pool := NewPool()
	for i := range 3 * mostOnce {
		if n := pool.number("again"); i > 0 && n != 1 {
			t.Fatalf("at %d it has the number %d", i, n)
		}
		if n := pool.number("number " + strconv.Itoa(i)); n != 0 {
			t.Fatalf("a text that stands once has the number %d", n)
		}
	}
	for i := range 2 * mostTexts {
		pool.number(strconv.Itoa(i))
		pool.number(strconv.Itoa(i))
	}
	if len(pool.texts) != mostTexts || len(pool.numbers) > mostTexts+mostOnce {
		t.Errorf("%d texts, %d numbers", len(pool.texts), len(pool.numbers))
	}
}

// What cannot be written is found when the codec is made.
func TestUnknownIsRefused(t *testing.T) {
	for name, of := range map[string]func(){
		"a function":        func() { Of[struct{ F func() }]() },
		"an unexported one": func() { Of[struct{ hidden int }]() },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s is taken for plain data", name)
				}
			}()
			of()
		}()
	}
	if list := fields(reflect.TypeFor[struct {
		A int
		b int `plain:"derived"`
	}]()); len(list) != 1 {
		t.Errorf("fields %v", list)
	}
}

func BenchmarkRead(b *testing.B) {
	pool, codec, want := NewPool(), Of[awkward](reflect.TypeFor[row]()), sample()
	var bytesOf bytes.Buffer
	buffered := bufio.NewWriter(&bytesOf)
	codec.Write(pool.NewWriter(buffered), &want)
	buffered.Flush()
	r := pool.NewReader(nil)
	for b.Loop() {
		var got awkward
		r.Reset(bytes.NewReader(bytesOf.Bytes()))
		codec.Read(r, &got)
	}
}
