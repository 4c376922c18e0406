package pdf

import (
	"bytes"
	"encoding/hex"
	"math"
	"regexp"
	"slices"
	"testing"

	"ohmledger/report"
)

// contentsOf are the contents of a report's pages as fpdf writes them, in their order.
func contentsOf(t *testing.T, d *report.Document) (list [][]byte) {
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
	markContents(objects)
	for _, o := range objects {
		if !o.content {
			continue
		}
		plain, err := o.inflated()
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, plain)
	}
	return list
}

// TestPlannedPagesShowTheSame: every text, line and area of all pages, at its place within the rounding of texts and paths, a tenth
// of a point, in its colour, font and pen; in much fewer bytes.
func TestPlannedPagesShowTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("what runs side by side in it does in TestPages too")
	}
	for name, d := range map[string]*report.Document{"cells": specimen(t, 3, 4), "delivery": delivery(t)} {
		tenths := map[string]int{"cells": 7, "delivery": 8}[name] // figures of cells become forms, tables stay text
		contents := contentsOf(t, d)
		p, pages := planned(t, contents)
		forms, after, before := map[string][]byte{}, 0, 0
		for _, f := range p.forms {
			forms["/"+f.name] = p.formOf(f.items)
			after += len(forms["/"+f.name])
		}
		for i, content := range contents {
			short := p.pageOf(pages[i])
			before, after = before+len(content), after+len(short)
			was, is := &viewer{}, &viewer{codes: p.codes, forms: forms, space: spaceOf(t, p.colours)}
			was.begin()
			is.begin()
			want, got := was.run(t, content), is.run(t, short)
			if len(got) != len(want) || len(want) < 10 {
				t.Fatalf("%s, page %d: %d things are drawn, want %d", name, i+1, len(got), len(want))
			}
			for k := range want {
				if got[k].what != want[k].what || !near2(got[k].places, want[k].places) {
					t.Fatalf("%s, page %d: %q at %v, want %q at %v", name, i+1, got[k].what, got[k].places, want[k].what, want[k].places)
				}
			}
		}
		if len(contents) < 3 || len(p.forms) == 0 || after > before*tenths/10 {
			t.Errorf("%s: %d pages, %d forms, %d bytes of %d", name, len(contents), len(p.forms), after, before)
		}
	}
}

// planned reads contents and plans how they are written.
func planned(t testing.TB, contents [][]byte) (p *plan, pages [][]placed) {
	t.Helper()
	occurring := make([]bool, 1<<16)
	s := &survey{characters: occurring, colours: map[string]int{}}
	for _, content := range contents {
		items, ok := itemsOf(content, nil)
		if !ok {
			t.Fatalf("not read: %.100q", content)
		}
		for _, it := range items {
			s.note(it)
		}
		pages = append(pages, items)
	}
	c, _ := newCodes(occurring)
	p = newPlan(c, pages)
	p.colours = newColours(s.colours)
	return p, pages
}

// spaceOf reads the steps of the colours in the resources.
func spaceOf(t *testing.T, c *colours) []byte {
	t.Helper()
	digits := regexp.MustCompile(`<([0-9a-f]+)>`).FindStringSubmatch(c.entry())
	if digits == nil {
		t.Fatalf("no colours in %q", c.entry())
	}
	steps, err := hex.DecodeString(digits[1])
	if err != nil || len(steps) != 3*len(c.list) {
		t.Fatalf("%d steps, error %v", len(steps), err)
	}
	return steps
}

func near2(a, b []float64) bool {
	for i := range a {
		if len(a) != len(b) || math.Abs(a[i]-b[i]) > 0.1051 {
			return false
		}
	}
	return len(a) == len(b)
}

func TestContentsOfOtherKindsAreNotRead(t *testing.T) {
	for _, content := range []string{
		"BT 1 2 Td (open Tj ET\n", "1 0 0 rg\nQ\n", "<41> Tj", "1 2 Td 3", "1 2 sh", "BT x 2 Td (a) Tj ET", "BT 1 2 Td (a) (b) Tj ET",
		"1 1 m 2 2 l W n 3 3 m", "0 0 m 1 1 l", "1 1 l S", "2 0 0 2 0 0 cm 0 0 m 1 1 l S",
	} {
		if got, ok := itemsOf([]byte(content), nil); ok {
			t.Errorf("%q became %v", content, got)
		}
	}
}

// By hand: the colour of the second text is that of the first; the line needs none of them; a filled path that is stroked too is
// one; what is clipped stays as it is; brackets in a string end nothing.
func TestPageInTenths(t *testing.T) {
	const content = "0 J\n0.57 w\nBT /Fa 7.20 Tf ET\nq 0.500 0.000 1.000 rg BT 10.04 20.00 Td (\x00a\x00\\)) Tj ET Q\n" +
		"q 0.500 0.000 1.000 rg BT 10.04 9.96 Td (\x00c) Tj ET Q\n1.00 2.00 m 3.456 4.00 l S\nq\n1 0 0 1 5 5 cm\n0 0 2 2 re f\n0 0 2 2 re S Q\n" +
		"q 1 1 2 2 re W n 3 3 m 4 4 l S Q"
	const want = ".1 0 0 .1 0 0 cm BT .5 0 1 rg /F1 72 Tf 100 200 Td(a\\))Tj 0 -100 Td(c)Tj ET 5.7 w 1 0 0 1 10 20 cm 0 0 m 25 20 l S " +
		"0 g 1 0 0 1 40 30 cm 0 0 20 20 re B " +
		"q 10 0 0 10 -50 -50 cm 0 g 0 G .57 w 0 J 0 j [] 0 d /F1 7.2 Tf q 1 1 2 2 re W n 3 3 m 4 4 l S Q Q "
	items, ok := itemsOf([]byte(content), map[string]string{"/Fa": "/F1"})
	if got := (&plan{codes: &codes{}}).pageOf(items); !ok || string(got) != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

// farOff finds numbers of more digits than places on a page have.
var farOff = regexp.MustCompile(`[0-9]{5}|[eExXpP][-+]?[0-9]`)

// FuzzPage states: what is written of a page's things reads back as the same things, but for what is kept as it is or turned.
func FuzzPage(f *testing.F) {
	f.Add([]byte("q 0.5 g BT 1 2 Td (a) Tj ET Q 1 0 0 1 5 5 cm 0 0 2 2 re f"))
	f.Add([]byte("q 1 0 0 1 5 5 cm BT /F1 2 Tf 1 2 Td (a\\)) Tj 3 4 Td (b) Tj ET Q [1 2] 0 d 0 0 m 1 1 l S"))
	f.Fuzz(func(t *testing.T, content []byte) {
		items, ok := itemsOf(content, nil)
		if !ok || farOff.Match(content) || slices.ContainsFunc(items, func(it placed) bool { return it.kind == asItIs || it.turn != "" }) {
			return
		}
		page := (&plan{}).pageOf(items)
		again, ok := itemsOf(page, nil)
		if !ok || !bytes.Equal((&plan{}).pageOf(again), page) {
			t.Errorf("%q, then %q", page, (&plan{}).pageOf(again))
		}
	})
}
