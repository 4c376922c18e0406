// Package squeeze compresses bytes as far as Deflate goes.
package squeeze

import (
	"math/bits"
)

// bitWriter writes bits, the lowest of a byte first (RFC 1951, 3.1.1).
type bitWriter struct {
	out  []byte
	held uint64
	n    uint
}

func (w *bitWriter) put(v uint64, n int) {
	w.held |= v << w.n
	for w.n += uint(n); w.n >= 8; w.n -= 8 {
		w.out = append(w.out, byte(w.held))
		w.held >>= 8
	}
}

func (w *bitWriter) end() []byte {
	if w.n > 0 {
		w.out = append(w.out, byte(w.held))
	}
	return w.out
}

// prefixCode has a code for each symbol, its bits as they are written.
type prefixCode struct {
	lengths []int
	codes   []uint64
}

// newPrefixCode gives codes to symbols by the lengths of these (RFC 1951, 3.2.2).
func newPrefixCode(lengths []int) prefixCode {
	c := prefixCode{lengths, make([]uint64, len(lengths))}
	next := uint64(0)
	for n := 1; n <= mostBits; n++ {
		next <<= 1
		for s, of := range lengths {
			if of == n {
				c.codes[s] = bits.Reverse64(next) >> (64 - n)
				next++
			}
		}
	}
	return c
}

func (w *bitWriter) symbol(c prefixCode, s int) { w.put(c.codes[s], c.lengths[s]) }

// The longest codes, of symbols and of the lengths of those (RFC 1951, 3.2.7).
const mostBits, mostHeadBits = 15, 7

// block writes a block with codes of its own.
func (w *bitWriter) block(s *block, last bool) {
	w.put(0, 0)
	kind := uint64(2 << 1)
	if last {
		kind++
	}
	w.put(kind, 3)
	literals := codeLengths(s.coded.literals[:], mostBits)
	distances := codeLengths(s.coded.distances[:], mostBits)
	w.head(literals, distances)
	literal, distance := newPrefixCode(literals), newPrefixCode(distances)
	at := 0
	for _, r := range s.steps {
		if r.length == 1 {
			w.symbol(literal, int(s.bytes[at]))
		} else {
			n := int(lengthSymbols[r.length])
			w.symbol(literal, endOfBlock+1+n)
			w.put(uint64(r.length-lengthBases[n]), lengthExtra[n])
			d := distanceSymbol(r.distance)
			w.symbol(distance, d)
			w.put(uint64(r.distance-distanceBases[d]), distanceExtra(d))
		}
		at += int(r.length)
	}
	w.symbol(literal, endOfBlock)
}

// headOrder is that in which the lengths of the lengths' codes stand (RFC 1951, 3.2.7).
var headOrder = [19]int{16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15}

// head writes the lengths of the codes.
func (w *bitWriter) head(literals, distances []int) {
	literals, distances = trimmed(literals, endOfBlock+1), trimmed(distances, 1)
	runs := lengthRuns(append(append([]int{}, literals...), distances...))
	counts := make([]int, len(headOrder))
	for _, r := range runs {
		counts[r.symbol]++
	}
	code := newPrefixCode(codeLengths(counts, mostHeadBits))
	told := len(headOrder)
	for told > 4 && code.lengths[headOrder[told-1]] == 0 {
		told--
	}
	w.put(uint64(len(literals)-endOfBlock-1), 5)
	w.put(uint64(len(distances)-1), 5)
	w.put(uint64(told-4), 4)
	for _, s := range headOrder[:told] {
		w.put(uint64(code.lengths[s]), 3)
	}
	for _, r := range runs {
		w.symbol(code, r.symbol)
		w.put(uint64(r.extra), r.bits)
	}
}

// trimmed leaves out lengths at the end that are zero, down to some.
func trimmed(lengths []int, least int) []int {
	for len(lengths) > least && lengths[len(lengths)-1] == 0 {
		lengths = lengths[:len(lengths)-1]
	}
	return lengths
}

// lengthRun is a symbol of the head with its extra bits.
type lengthRun struct{ symbol, extra, bits int }

// lengthRuns say lengths of codes: 16 repeats the one before 3 to 6 times, 17 and 18 are 3 to 10 and 11 to 138 zeros.
func lengthRuns(lengths []int) (list []lengthRun) {
	for i := 0; i < len(lengths); {
		n := 1
		for i+n < len(lengths) && lengths[i+n] == lengths[i] {
			n++
		}
		if lengths[i] == 0 {
			switch {
			case n >= 11:
				n = min(n, 138)
				list = append(list, lengthRun{18, n - 11, 7})
			case n >= 3:
				list = append(list, lengthRun{17, n - 3, 3})
			default:
				n = 1
				list = append(list, lengthRun{})
			}
			i += n
			continue
		}
		list = append(list, lengthRun{symbol: lengths[i]})
		i++
		for n--; n >= 3; {
			k := min(n, 6)
			list = append(list, lengthRun{16, k - 3, 2})
			i, n = i+k, n-k
		}
	}
	return list
}
