package deflate

import "slices"

// writer writes bits, the first one lowest.
type writer struct {
	out  []byte
	held uint64
	bits uint
}

func (w *writer) put(bits uint64, n int) {
	w.held |= bits << w.bits
	for w.bits += uint(n); w.bits >= 8; w.bits -= 8 {
		w.out = append(w.out, byte(w.held))
		w.held >>= 8
	}
}

// flush ends the last byte.
func (w *writer) flush() {
	if w.bits > 0 {
		w.put(0, int(8-w.bits))
	}
}

func (w *writer) code(c code) { w.put(uint64(c.bits), int(c.length)) }

// The kinds of blocks, and the mark of the last one (RFC 1951, 3.2.3).
const (
	final  = 1
	agreed = 1 << 1
	own    = 2 << 1
)

// block writes a block by the shorter of two ways: in codes of its own, or in those that are agreed upon.
func (w *writer) block(b block, last bool) {
	c := b.codes()
	kind := uint64(own)
	if fixed := agreedCodes(); b.size(fixed) <= b.size(c) {
		c, kind = fixed, agreed
	}
	if last {
		kind |= final
	}
	w.put(kind, 3)
	for _, s := range c.head {
		w.put(s.bits, s.length)
	}
	for _, t := range b.tokens {
		w.token(t, c)
	}
	w.code(c.literal[endOfBlock])
}

func (w *writer) token(t token, c *codes) {
	if t.length == 0 {
		w.code(c.literal[t.literal])
		return
	}
	class := classOf[t.length-shortest]
	w.code(c.literal[firstLengths+int(class)])
	w.put(uint64(int(t.length)-firstOfClass[class]), extraOfLength[class])
	slot := slotOf(int(t.back))
	w.code(c.distance[slot])
	extra := extraOfSlot(slot)
	w.put(uint64(t.back)&(1<<extra-1), extra)
}

// codes are those of a block, and how it says them.
type codes struct {
	literal, distance []code
	head              []said
}

// said are some bits.
type said struct {
	bits   uint64
	length int
}

// size of a block in such codes, in bits, without what comes after symbols.
func (b *block) size(c *codes) (n int) {
	for _, s := range c.head {
		n += s.length
	}
	for symbol, count := range b.counts.literal {
		n += int(count) * int(c.literal[symbol].length)
	}
	for symbol, count := range b.counts.distance {
		n += int(count) * int(c.distance[symbol].length)
	}
	return n
}

// agreedCodes are those that no block has to say (RFC 1951, 3.2.6).
func agreedCodes() *codes {
	lengths := slices.Concat(slices.Repeat([]uint8{8}, 144), slices.Repeat([]uint8{9}, 112), slices.Repeat([]uint8{7}, 24), slices.Repeat([]uint8{8}, 8))
	return &codes{literal: codesOf(lengths), distance: codesOf(slices.Repeat([]uint8{5}, 32))}
}

// codes are those made for a block.
func (b *block) codes() *codes {
	literal, distance := lengthsOf(b.counts.literal[:], longestCode), lengthsOf(b.counts.distance[:], longestCode)
	return &codes{codesOf(literal), codesOf(distance), headOf(literal, distance)}
}
