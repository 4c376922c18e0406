package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"strconv"
	"testing"

	"gonum.org/v1/plot/vg"

	"ohmledger/report"
)

// shown is what a content draws: a text at a place, or a path, with all that is in force.
type shown struct {
	what   string
	places []float64 // points on the page
}

// reader runs a content as a viewer would (ISO 32000-1:2008, 8.4 and 9.4), independently of how it is written.
type reader struct {
	names map[string]string
	now   struct {
		graphics
		matrix affine
	}
	saved []struct {
		graphics
		matrix affine
	}
	base   vg.Point
	path   string
	points []float64
	list   []shown
}

func (r *reader) numbers(o operation) (list []float64) {
	for _, v := range o.operands {
		if x, err := strconv.ParseFloat(string(v), 64); err == nil {
			list = append(list, x)
		}
	}
	return list
}

func (r *reader) place(x, y float64) []float64 {
	a, b := r.now.matrix.apply(vg.Point{X: vg.Length(x), Y: vg.Length(y)})
	return []float64{a, b}
}

// plain is an operation with numbers to the digits that are compared.
func (r *reader) plain(o operation) (text string) {
	for _, v := range o.operands {
		name := string(v)
		if short := r.names[name]; short != "" {
			name = short
		}
		if x, err := strconv.ParseFloat(name, 64); err == nil {
			name = fmt.Sprintf("%.2f", x)
		}
		text += name + " "
	}
	return text + o.operator
}

func (r *reader) run(t *testing.T, content []byte) []shown {
	t.Helper()
	r.now.graphics, r.now.matrix = firstGraphics, affine{1, 0, 0, 1, 0, 0}
	for i := range r.now.graphics {
		o, _, _ := nextOperation([]byte(firstGraphics[i]))
		r.now.graphics[i] = r.plain(o)
	}
	for rest := content; ; {
		o, after, ok := nextOperation(rest)
		if !ok {
			t.Fatalf("not read: %.60q", rest)
		}
		if o.operator == "" {
			return r.list
		}
		r.step(t, o)
		rest = after
	}
}

func (r *reader) step(t *testing.T, o operation) {
	n := r.numbers(o)
	if slot := slotOf(o.operator); slot >= 0 {
		r.now.graphics[slot] = r.plain(o)
		return
	}
	switch o.operator {
	case "q":
		r.saved = append(r.saved, r.now)
	case "Q":
		r.now, r.saved = r.saved[len(r.saved)-1], r.saved[:len(r.saved)-1]
	case "cm":
		r.now.matrix = r.now.matrix.after(affine(n))
	case "BT":
		r.base = vg.Point{}
	case "ET":
	case "Td":
		r.base = r.base.Add(vg.Point{X: vg.Length(n[0]), Y: vg.Length(n[1])})
	case "Tj":
		r.list = append(r.list, shown{fmt.Sprint(string(o.operands[0]), r.now.graphics[fontSlot], r.now.graphics[fillSlot]),
			r.place(float64(r.base.X), float64(r.base.Y))})
	case "m", "l", "c", "h", "re":
		r.path += o.operator
		for i := 0; i+1 < len(n) && (o.operator != "re" || i == 0); i += 2 {
			r.points = append(r.points, r.place(n[i], n[i+1])...)
		}
		if o.operator == "re" {
			r.points = append(r.points, n[2], n[3])
		}
	case "S", "f", "B", "n":
		drawn := r.path + o.operator
		if o.operator != "S" {
			drawn += r.now.graphics[fillSlot]
		}
		if o.operator != "f" {
			drawn += fmt.Sprint(r.now.graphics[strokeSlot], r.now.graphics[widthSlot], r.now.graphics[capSlot], r.now.graphics[joinSlot], r.now.graphics[dashSlot])
		}
		r.list = append(r.list, shown{drawn, r.points})
		r.path, r.points = "", nil
	default:
		t.Fatalf("%s is not known", o.operator)
	}
}

// contentsOf are the contents of a report's pages as fpdf writes them, with the names of its fonts.
func contentsOf(t *testing.T, d *report.Document) (list [][]byte, names map[string]string) {
	t.Helper()
	c := compositionOf(t, d)
	for i, rows := range c.pages {
		c.renderPage(c.complete(i, rows))
	}
	var b bytes.Buffer
	if err := c.provider.pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	objects, _, err := objectsOf(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	names = markContents(objects)
	for _, o := range objects {
		if !o.content {
			continue
		}
		z, err := zlib.NewReader(bytes.NewReader(o.data))
		if err != nil {
			t.Fatal(err)
		}
		plain, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, plain)
	}
	return list, names
}

// TestTerseShowsTheSame: every text, line and area of all pages, at its place within the rounding of texts, half a tenth of a
// point, in its colour, font and pen; in fewer bytes.
func TestTerseShowsTheSame(t *testing.T) {
	for name, d := range map[string]*report.Document{"cells": specimen(t, 3, 4), "delivery": delivery(t)} {
		contents, names := contentsOf(t, d)
		before, after := 0, 0
		for i, content := range contents {
			short := terse(content, names)
			before, after = before+len(content), after+len(short)
			want, got := (&reader{names: names}).run(t, content), (&reader{names: names}).run(t, short)
			if len(got) != len(want) || len(want) < 10 {
				t.Fatalf("%s, page %d: %d things are drawn, want %d", name, i+1, len(got), len(want))
			}
			for k := range want {
				if got[k].what != want[k].what || !near2(got[k].places, want[k].places) {
					t.Fatalf("%s, page %d: %q at %v, want %q at %v", name, i+1, got[k].what, got[k].places, want[k].what, want[k].places)
				}
			}
		}
		if len(contents) < 3 || after > before*9/10 {
			t.Errorf("%s: %d pages, %d bytes of %d", name, len(contents), after, before)
		}
	}
}

func near2(a, b []float64) bool {
	for i := range a {
		if len(a) != len(b) || math.Abs(a[i]-b[i]) > 0.0551 {
			return false
		}
	}
	return len(a) == len(b)
}

func TestTerseLeavesWhatItDoesNotKnow(t *testing.T) {
	for _, content := range []string{
		"BT 1 2 Td (open Tj ET\n", "1 0 0 rg\nQ\n", "<41> Tj", "1 2 Td 3", "q 1 2 sh Q", "BT x 2 Td (a) Tj ET", "BT 1 2 Td (a) (b) Tj ET",
	} {
		if got := terse([]byte(content), nil); string(got) != content {
			t.Errorf("%q became %q", content, got)
		}
	}
}

// By hand: the colour of the second text is that of the first; the line needs none of them; what q saves for texts alone
// needs no q; brackets in a string end nothing.
func TestTerse(t *testing.T) {
	const content = "0 J\n0.57 w\nBT /Fa 7.20 Tf ET\nq 0.500 0.000 1.000 rg BT 10.04 20.00 Td (a\\)b\\\\) Tj ET Q\n" +
		"q 0.500 0.000 1.000 rg BT 10.04 9.96 Td (c) Tj ET Q\n1.00 2.00 m 3.456 4.00 l S\nq\n1 0 0 1 5 5 cm\n0 0 2 2 re f\nQ\n"
	const want = "BT\n/F1 7.2 Tf\n0.5 0 1 rg\n10 20 Td(a\\)b\\\\)Tj\n0 -10 Td(c)Tj\nET\n0.57 w\n1 2 m\n3.46 4 l\nS\nq\n1 0 0 1 5 5 cm\n0 g\n0 0 2 2 re\nf\nQ\n"
	if got := terse([]byte(content), map[string]string{"/Fa": "/F1"}); string(got) != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

// FuzzTerse states: nothing that terse writes is longer by more than the operators that begin and end texts, and what it wrote
// stays the same when it is written again.
func FuzzTerse(f *testing.F) {
	f.Add([]byte("q 0.5 g BT 1 2 Td (a) Tj ET Q 1 0 0 1 5 5 cm 0 0 2 2 re f"))
	f.Add([]byte("q 1 0 0 1 5 5 cm BT /F1 2 Tf 1 2 Td (a\\)) Tj 3 4 Td (b) Tj ET Q [1 2] 0 d 0 0 m 1 1 l S"))
	f.Fuzz(func(t *testing.T, content []byte) {
		once := terse(content, nil)
		if twice := terse(once, nil); !bytes.Equal(once, twice) {
			t.Errorf("%q, then %q", once, twice)
		}
	})
}
