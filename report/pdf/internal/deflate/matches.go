package deflate

import (
	"encoding/binary"
	"math/bits"
)

// The reach of repetitions (RFC 1951, 3.2.5).
const (
	shortest = 3
	longest  = 258
	window   = 1 << 15
)

// How far the search goes (common practice): one that is at least so long ends it, and no more than so many places are looked at.
const (
	longEnough = 128
	deepest    = 24
)

// repetition is how many bytes stand as far back too.
type repetition struct{ length, back uint16 }

// finder knows where a text repeats what is behind. Behind each hash of four bytes, the places with it hang in a tree that is ordered
// by what follows them, the latest on top; the children of a place are in a ring.
type finder struct {
	text     []byte
	next     int // the place that is to be added
	pairs    []int32
	tops     []int32 // by the hash of four bytes: a place and 1, 0 for none
	children [][2]int32
	shift    int
	mask     int
}

// newFinder is as large as the text asks for.
func newFinder(text []byte) *finder {
	bits := 8
	for 1<<bits < len(text) && bits < 15 {
		bits++
	}
	return &finder{
		text: text, shift: 32 - bits, mask: 1<<bits - 1,
		pairs: make([]int32, 1<<bits), tops: make([]int32, 1<<bits), children: make([][2]int32, 1<<bits),
	}
}

// hash mixes bytes by the golden ratio (Knuth, The Art of Computer Programming 3, 6.4).
func (f *finder) hash(word uint32) uint32 { return word * 0x9E3779B1 >> f.shift }

func (f *finder) word(at int) uint32 {
	t := f.text[at : at+4]
	return uint32(t[0]) | uint32(t[1])<<8 | uint32(t[2])<<16 | uint32(t[3])<<24
}

// add takes in the next place and appends the repetitions that begin there and end before end: each longer than the one before,
// and each as near as there is one.
func (f *finder) add(list []repetition, end int) []repetition {
	at := f.next
	f.next++
	most := min(longest, end-at)
	if at+4 > len(f.text) {
		return list
	}
	word := f.word(at)
	list = f.short(list, at, word<<8, most)
	h := f.hash(word)
	top := int(f.tops[h]) - 1
	f.tops[h] = int32(at + 1)
	return f.descend(list, at, top, most)
}

// short finds a repetition of three bytes.
func (f *finder) short(list []repetition, at int, three uint32, most int) []repetition {
	h := f.hash(three)
	before := int(f.pairs[h]) - 1
	f.pairs[h] = int32(at + 1)
	if before < 0 || at-before > window || most < shortest || f.word(before)<<8 != three {
		return list
	}
	return append(list, repetition{shortest, uint16(at - before - 1)})
}

// descend walks the tree from its top and makes the new place the top of it.
func (f *finder) descend(list []repetition, at, node, most int) []repetition {
	fresh := &f.children[at&f.mask]
	below, above := &fresh[0], &fresh[1]
	best, same, sameBelow, sameAbove := shortest, 0, 0, 0
	room := min(longest, len(f.text)-at)
	for depth := 0; node >= 0 && at-node <= f.mask && depth < deepest; depth++ {
		same = f.same(node, at, same, room)
		if length := min(same, most); length > best {
			best = length
			list = append(list, repetition{uint16(length), uint16(at - node - 1)})
		}
		own := &f.children[node&f.mask]
		switch {
		case same >= min(room, longEnough):
			*below, *above = own[0], own[1]
			return list
		case f.text[node+same] < f.text[at+same]:
			*below, below = int32(node+1), &own[1]
			node, sameBelow = int(own[1])-1, same
		default:
			*above, above = int32(node+1), &own[0]
			node, sameAbove = int(own[0])-1, same
		}
		same = min(sameBelow, sameAbove)
	}
	*below, *above = 0, 0
	return list
}

// same is how many bytes from a place on are those from another on, of which so many are known to be, and at most so many.
func (f *finder) same(a, b, known, most int) int {
	x, y := f.text[a:a+most], f.text[b:b+most]
	for ; known+8 <= most; known += 8 {
		if differ := binary.LittleEndian.Uint64(x[known:]) ^ binary.LittleEndian.Uint64(y[known:]); differ != 0 {
			return known + bits.TrailingZeros64(differ)/8
		}
	}
	for known < most && x[known] == y[known] {
		known++
	}
	return known
}
