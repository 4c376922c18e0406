package pdf

import (
	"bytes"
	"encoding/binary"
	"slices"
	"testing"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// TestLeanFontKeepsItsGlyphs and its sums: of a table its words, of a whole font 0xB1B0AFBA (OpenType 1.9, "head").
func TestLeanFontKeepsItsGlyphs(t *testing.T) {
	whole := dejavusanscondensed.TTF
	got := lean(whole)
	want, _ := tablesOf(whole, neededTables)
	tables, ok := tablesOf(got, neededTables)
	if !ok || int(binary.BigEndian.Uint16(got[4:])) != len(neededTables) {
		t.Fatalf("%d tables", binary.BigEndian.Uint16(got[4:]))
	}
	for i, k := range tables {
		switch name := string(k.entry[:4]); name {
		case "glyf":
			if len(k.data) >= len(want[i].data) {
				t.Errorf("%d bytes of %d in glyphs", len(k.data), len(want[i].data))
			}
		case "hhea", "hmtx":
			if !bytes.Equal(k.data, want[i].data) {
				t.Errorf("%s differs", name)
			}
		}
	}
	if sum := sumOf(got); sum != wholeSum {
		t.Errorf("the sum is %#x", sum)
	}
	// searchRange, entrySelector, rangeShift of six tables, by the formulas of OpenType 1.9: 16·4, log2 4, 16·6 − 64.
	for i, v := range []uint16{64, 2, 32} {
		if n := binary.BigEndian.Uint16(got[6+2*i:]); n != v {
			t.Errorf("word %d of the head is %d, want %d", 3+i, n, v)
		}
	}
}

// TestPlainGlyphsHaveTheirOutlines: every glyph of the typeface, composites among them, as an independent reader draws it.
func TestPlainGlyphsHaveTheirOutlines(t *testing.T) {
	whole := dejavusanscondensed.TTF
	var names []string
	for i := range int(binary.BigEndian.Uint16(whole[4:])) {
		names = append(names, string(whole[fontHead+fontEntry*i:][:4]))
	}
	tables, ok := tablesOf(whole, names)
	if !ok {
		t.Fatal("the typeface is not read")
	}
	plainGlyphs(tables)
	want, errWant := sfnt.Parse(whole)
	got, errGot := sfnt.Parse(assembled(whole[:4], tables))
	if errWant != nil || errGot != nil || got.NumGlyphs() != want.NumGlyphs() {
		t.Fatal(errWant, errGot)
	}
	var b, c sfnt.Buffer
	for g := range want.NumGlyphs() {
		a, errA := want.LoadGlyph(&b, sfnt.GlyphIndex(g), fixed.I(1000), nil)
		p, errP := got.LoadGlyph(&c, sfnt.GlyphIndex(g), fixed.I(1000), nil)
		if (errA == nil) != (errP == nil) || !slices.Equal(a, p) {
			t.Errorf("glyph %d: %v, %v", g, errA, errP)
		}
	}
}

// FuzzLean states: a font that cannot be read stays as it is, and one that can is read again to the same.
func FuzzLean(f *testing.F) {
	f.Add([]byte("no font"))
	f.Add(dejavusanscondensed.TTF[:400])
	f.Fuzz(func(t *testing.T, font []byte) {
		got := lean(font)
		if _, ok := tablesOf(font, neededTables); !ok && !bytes.Equal(got, font) {
			t.Error("what cannot be read was changed")
		}
		if again := lean(got); !bytes.Equal(again, got) {
			t.Error("leaner still")
		}
	})
}

func TestGlyphsUpToTheLast(t *testing.T) {
	for glyphs, want := range map[string]int{"": 0, "\x00\x00": 0, "\x00\x00\x00\x07\x00\x00": 4, "\x00\x03\x01\x00\x00\x00\x00\x00": 4} {
		if got := len(upToLast([]byte(glyphs))); got != want {
			t.Errorf("%q: %d bytes, want %d", glyphs, got, want)
		}
	}
}
