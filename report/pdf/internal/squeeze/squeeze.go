// Package squeeze compresses bytes as far as Deflate goes.
package squeeze

import (
	"encoding/binary"
	"hash/adler32"
)

// Zlib compresses with Deflate in zlib's format (RFC 1950 and 1951) in fewer bytes than compress/zlib does: of all ways to say a
// block in repetitions and single bytes it looks for the shortest, by what the symbols cost in the way that was found before.
func Zlib(plain []byte) []byte {
	w := &bitWriter{out: []byte{0x78, 0xDA}} // a window of 32 KiB, the slowest compression
	m := newMatcher(plain)
	for from := 0; ; from += perBlock {
		to := min(from+perBlock, len(plain))
		s := blockOf(m, from, to)
		w.block(s, to == len(plain))
		if to == len(plain) {
			break
		}
	}
	return binary.BigEndian.AppendUint32(w.end(), adler32.Checksum(plain))
}

const (
	perBlock = 1 << 16 // bytes that share a code
	rounds   = 2       // a third gains half of a hundredth
)

// block is a part of what is compressed as the steps that say it.
type block struct {
	steps []repeat // those of length 1 are single bytes
	bytes []byte
	coded frequencies
}

// frequencies of the symbols of a block (RFC 1951, 3.2.5).
type frequencies struct {
	literals  [endOfBlock + 1 + len(lengthBases)]int
	distances [len(distanceBases)]int
}

func blockOf(m *matcher, from, to int) *block {
	found := m.matches(from, to)
	price := firstPrices()
	s := &block{bytes: m.plain[from:to]}
	for range rounds {
		s.steps = price.cheapest(found, s.bytes)
		s.coded = frequencies{}
		at := 0
		for _, r := range s.steps {
			s.coded.count(r, s.bytes[at])
			at += int(r.length)
		}
		s.coded.literals[endOfBlock]++
		price = pricesOf(&s.coded)
	}
	return s
}

func (f *frequencies) count(r repeat, single byte) {
	if r.length == 1 {
		f.literals[single]++
		return
	}
	f.literals[endOfBlock+1+int(lengthSymbols[r.length])]++
	f.distances[distanceSymbol(r.distance)]++
}

// cheapest is the way through a block that costs least.
func (p *prices) cheapest(found [][]repeat, block []byte) []repeat {
	costs := make([]float32, len(block)+1)
	last := make([]repeat, len(block)+1) // the step that ends there
	for i := range costs[1:] {
		costs[i+1] = 1e30
	}
	for i, single := range block {
		if c := costs[i] + p.literals[single]; c < costs[i+1] {
			costs[i+1], last[i+1] = c, repeat{1, 0}
		}
		length := int32(shortest)
		for _, r := range found[i] {
			far := costs[i] + p.distances[distanceSymbol(r.distance)]
			for ; length <= r.length; length++ {
				if c := far + p.lengths[length]; c < costs[i+int(length)] {
					costs[i+int(length)], last[i+int(length)] = c, repeat{length, r.distance}
				}
			}
		}
	}
	var back []repeat
	for i := len(block); i > 0; i -= int(last[i].length) {
		back = append(back, last[i])
	}
	for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
		back[i], back[j] = back[j], back[i]
	}
	return back
}
