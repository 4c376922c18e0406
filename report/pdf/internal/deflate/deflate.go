// Package deflate compresses as far as the format lets it (RFC 1950, RFC 1951), in a time that a document can wait for: the cheapest
// way of saying a stretch of bytes is looked for as a shortest path, by what its codes really cost.
package deflate

import (
	"encoding/binary"
	"hash/adler32"
)

// stretch is how many bytes are parsed together.
const stretch = 1 << 16

// head says Deflate with a window of 32 kB, compressed slowest (RFC 1950, 2.2).
var head = [...]byte{0x78, 0xDA}

// Compress gives plain in the format of zlib.
func Compress(plain []byte) []byte {
	w := &writer{out: append(make([]byte, 0, len(plain)/3+16), head[:]...)}
	f, prices := newFinder(plain), firstPrices()
	for from := 0; ; from += stretch {
		to := min(from+stretch, len(plain))
		p := newParse(f, from, to)
		blocks := p.settle(prices)
		prices = blocks[len(blocks)-1].counts.prices()
		for i, b := range blocks {
			w.block(b, to == len(plain) && i == len(blocks)-1)
		}
		if to == len(plain) {
			break
		}
	}
	w.flush()
	return binary.BigEndian.AppendUint32(w.out, adler32.Checksum(plain))
}
