package deflate

import "math/bits"

// The alphabets (RFC 1951, 3.2.5).
const (
	literals     = 286
	distances    = 30
	endOfBlock   = 256
	firstLengths = 257
)

// counts are how often symbols occur: bytes, end and lengths in the first alphabet, distances in the second.
type counts struct {
	literal  [literals]uint32
	distance [distances]uint32
}

func (c *counts) add(t token) {
	if t.length == 0 {
		c.literal[t.literal]++
		return
	}
	c.literal[firstLengths+int(classOf[t.length-shortest])]++
	c.distance[slotOf(int(t.back))]++
}

// prices are what tokens cost, in fractions of a bit.
type prices struct {
	literal [256]uint32
	length  [longest + 1]uint32
	back    [distances]uint32
}

// perBit are the fractions of a bit.
const perBit = 1 << 6

// The first prices, in bits: those of texts in which words repeat and numbers do not (common practice).
const (
	firstOfLiteral  = 6
	firstOfDigit    = 4
	firstOfLength   = 6
	firstOfDistance = 5
)

// firstPrices are those before anything is known.
func firstPrices() *prices {
	var p prices
	for i := range p.literal {
		p.literal[i] = firstOfLiteral * perBit
	}
	for digit := '0'; digit <= '9'; digit++ {
		p.literal[digit] = firstOfDigit * perBit
	}
	for length := shortest; length <= longest; length++ {
		p.length[length] = uint32(firstOfLength+extraOfLength[classOf[length-shortest]]) * perBit
	}
	for slot := range p.back {
		p.back[slot] = uint32(firstOfDistance+extraOfSlot(slot)) * perBit
	}
	return &p
}

// prices are those of a code that is made for these counts.
func (c *counts) prices() *prices {
	var p prices
	of := pricesOf(c.literal[:])
	copy(p.literal[:], of)
	for length := shortest; length <= longest; length++ {
		class := classOf[length-shortest]
		p.length[length] = of[firstLengths+int(class)] + uint32(extraOfLength[class])*perBit
	}
	for slot, price := range pricesOf(c.distance[:]) {
		p.back[slot] = price + uint32(extraOfSlot(slot))*perBit
	}
	return &p
}

// pricesOf are the logarithms of how rare symbols are; one that does not occur costs as if it did, and a little more.
func pricesOf(counts []uint32) []uint32 {
	sum := uint32(0)
	for _, n := range counts {
		sum += n
	}
	list := make([]uint32, len(counts))
	whole := logarithm(max(sum, 1))
	for i, n := range counts {
		list[i] = max(whole-logarithm(max(n, 1)), perBit)
		if n == 0 {
			list[i] += perBit
		}
	}
	return list
}

// logarithm is that to the base 2 in fractions of a bit, by squaring (Knuth, The Art of Computer Programming 1, 1.2.2, exercise 25):
// whole numbers alone, so that it is the same on every machine.
func logarithm(n uint32) uint32 {
	whole := bits.Len32(n) - 1
	x := uint64(n) << (31 - whole) // 1 to 2 in 31 bits after the point
	result := uint32(whole)
	for range 6 {
		x = x * x >> 31
		result <<= 1
		if x >= 1<<32 {
			x >>= 1
			result |= 1
		}
	}
	return result
}
