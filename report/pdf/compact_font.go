package pdf

import (
	"encoding/binary"
	"slices"
)

// neededTables are those of a TrueType font that a document's reader takes outlines of glyphs from (ISO 32000-1:2008,
// 9.9). fpdf embeds the others too, with the whole of the typeface's licence in every weight, and programs that fit glyphs to
// the coarse pixels of old screens.
var neededTables = []string{"glyf", "head", "hhea", "hmtx", "loca", "maxp"}

// The sizes of the head of a TrueType font and of the entries of its directory, in bytes, and what the sum of
// a whole font has to be less head's own entry (OpenType 1.9, "Organization of an OpenType font", "head").
const (
	fontHead, fontEntry = 12, 16
	wholeSum            = 0xB1B0AFBA
)

// lean leaves out the tables of a font that are not needed; a font that it cannot read stays as it is.
func lean(font []byte) []byte {
	tables, ok := tablesOf(font, neededTables)
	if !ok {
		return font
	}
	plainGlyphs(tables)
	return assembled(font[:4], tables)
}

// assembled is a font of tables.
func assembled(version []byte, tables []fontTable) []byte {
	out := make([]byte, fontHead+fontEntry*len(tables))
	copy(out, version)
	binary.BigEndian.PutUint16(out[4:], uint16(len(tables)))
	powers := 0
	for 2<<powers <= len(tables) {
		powers++
	}
	for i, v := range []int{16 << powers, powers, 16 * (len(tables) - 1<<powers)} {
		binary.BigEndian.PutUint16(out[6+2*i:], uint16(v))
	}
	head := 0
	for i, t := range tables {
		entry := out[fontHead+fontEntry*i:]
		copy(entry, t.entry)
		binary.BigEndian.PutUint32(entry[8:], uint32(len(out)))
		if string(t.entry[:4]) == "head" {
			head = len(out)
		}
		out = append(out, t.data...)
		out = append(out, make([]byte, -len(t.data)&3)...)
	}
	sum := out[head+8 : head+12]
	clear(sum)
	binary.BigEndian.PutUint32(sum, wholeSum-sumOf(out))
	return out
}

// fontTable is a table of a font with its entry in the directory.
type fontTable struct{ entry, data []byte }

// tablesOf are the tables of some names of a font, which a directory has in the order of their names; all must be there.
func tablesOf(font []byte, names []string) (list []fontTable, ok bool) {
	if len(font) < fontHead {
		return nil, false
	}
	for i := range int(binary.BigEndian.Uint16(font[4:])) {
		at := fontHead + fontEntry*i
		if at+fontEntry > len(font) {
			return nil, false
		}
		entry := font[at : at+fontEntry]
		from, length := uint64(binary.BigEndian.Uint32(entry[8:])), uint64(binary.BigEndian.Uint32(entry[12:]))
		if from+length > uint64(len(font)) {
			return nil, false
		}
		if slices.Contains(names, string(entry[:4])) {
			list = append(list, fontTable{entry, font[from : from+length]})
		}
	}
	return list, slices.EqualFunc(list, names, fontTable.is)
}

// is reports whether a table has a name, and all that is read of it here.
func (t fontTable) is(name string) bool {
	return string(t.entry[:4]) == name && (name != "head" || len(t.data) >= 12)
}

// sumOf adds the words of a font, whose length is a multiple of four.
func sumOf(font []byte) (sum uint32) {
	for i := 0; i+4 <= len(font); i += 4 {
		sum += binary.BigEndian.Uint32(font[i:])
	}
	return sum
}
