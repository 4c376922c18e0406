package pdf

import (
	"encoding/binary"
	"slices"
)

// plainGlyphs leaves out the programs of the glyphs of a font and of the font itself; one that it cannot read stays as it is
// (OpenType 1.9, "glyf", "loca", "head", "maxp").
func plainGlyphs(tables []fontTable) {
	at := func(name string) *fontTable {
		return &tables[slices.IndexFunc(tables, func(t fontTable) bool { return string(t.entry[:4]) == name })]
	}
	glyphs, head, places, most := at("glyf"), at("head").data, at("loca"), at("maxp").data
	const format, programs, programsEnd = 50, 16, 28 // in head, and from maxZones to maxSizeOfInstructions in maxp
	if len(head) < format+2 || len(most) < programsEnd {
		return
	}
	width := 2 + 2*int(head[format+1]&1)
	var out, index []byte
	for i := 0; i+width <= len(places.data); i += width {
		index = appendPlace(index, len(out), width)
		if i+2*width > len(places.data) {
			break
		}
		from, to := placeAt(places.data[i:], width), placeAt(places.data[i+width:], width)
		if from > to || to > len(glyphs.data) {
			return
		}
		glyph, ok := plainGlyph(glyphs.data[from:to])
		if !ok {
			return
		}
		out = append(out, glyph...)
		out = append(out, make([]byte, -len(out)&3)...)
	}
	most = slices.Clone(most)
	binary.BigEndian.PutUint16(most[programs-2:], 1) // maxZones: none but the outlines
	clear(most[programs:programsEnd])
	at("maxp").set(most)
	glyphs.set(out)
	places.set(index)
}

// set gives a table other data.
func (t *fontTable) set(data []byte) {
	t.entry = slices.Clone(t.entry)
	padded := append(slices.Clone(data), make([]byte, -len(data)&3)...)
	binary.BigEndian.PutUint32(t.entry[4:], sumOf(padded))
	binary.BigEndian.PutUint32(t.entry[12:], uint32(len(data)))
	t.data = data
}

// placeAt reads where a glyph begins: in two bytes its half, in four the whole.
func placeAt(b []byte, width int) int {
	if width == 2 {
		return 2 * int(binary.BigEndian.Uint16(b))
	}
	return int(binary.BigEndian.Uint32(b))
}

func appendPlace(b []byte, place, width int) []byte {
	if width == 2 {
		return binary.BigEndian.AppendUint16(b, uint16(place/2))
	}
	return binary.BigEndian.AppendUint32(b, uint32(place))
}

// The fields of a glyph, in bytes, and what its components say of themselves.
const (
	glyphHead       = 10
	wordArguments   = 1 << 0
	oneScale        = 1 << 3
	moreComponents  = 1 << 5
	twoScales       = 1 << 6
	fourScales      = 1 << 7
	hasInstructions = 1 << 8
)

// plainGlyph is a glyph without its program.
func plainGlyph(glyph []byte) (plain []byte, ok bool) {
	if len(glyph) == 0 {
		return nil, true
	}
	if len(glyph) < glyphHead {
		return nil, false
	}
	contours := int(int16(binary.BigEndian.Uint16(glyph)))
	if contours < 0 {
		return plainComposite(slices.Clone(glyph))
	}
	at := glyphHead + 2*contours
	if at+2 > len(glyph) {
		return nil, false
	}
	end := at + 2 + int(binary.BigEndian.Uint16(glyph[at:]))
	if end > len(glyph) {
		return nil, false
	}
	return slices.Concat(glyph[:at], []byte{0, 0}, glyph[end:]), true
}

// plainComposite ends a glyph of components after the last of them.
func plainComposite(glyph []byte) (plain []byte, ok bool) {
	for at := glyphHead; at+4 <= len(glyph); {
		flags := binary.BigEndian.Uint16(glyph[at:])
		binary.BigEndian.PutUint16(glyph[at:], flags&^hasInstructions)
		at += 6
		if flags&wordArguments != 0 {
			at += 2
		}
		switch {
		case flags&oneScale != 0:
			at += 2
		case flags&twoScales != 0:
			at += 4
		case flags&fourScales != 0:
			at += 8
		}
		if flags&moreComponents == 0 && at <= len(glyph) {
			return glyph[:at], true
		}
	}
	return nil, false
}
