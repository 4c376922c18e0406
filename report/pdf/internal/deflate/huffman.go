package deflate

import (
	"cmp"
	"math/bits"
	"slices"
)

// lengthsOf are the lengths of the codes of symbols that occur so often, none longer than most: those of Huffman (Proceedings of the
// IRE 40 (1952) 1098), of counts that are made more alike until they are short enough. At least two symbols get one, so that
// every reader takes the code for complete.
func lengthsOf(counts []uint32, most int) []uint8 {
	counts = slices.Clone(counts)
	for i := 0; occurring(counts) < 2; i++ {
		counts[i] = max(counts[i], 1)
	}
	for {
		lengths := huffman(counts)
		if int(slices.Max(lengths)) <= most {
			return lengths
		}
		for i, n := range counts {
			if n > 0 {
				counts[i] = n/2 + 1
			}
		}
	}
}

func occurring(counts []uint32) (n int) {
	for _, c := range counts {
		if c > 0 {
			n++
		}
	}
	return n
}

// node of a tree of symbols; a leaf has no children.
type node struct {
	count       uint32
	symbol      int
	left, right *node
}

// huffman joins the two rarest again and again: leaves in their order and joined ones in theirs are two queues.
func huffman(counts []uint32) []uint8 {
	var leaves, joined []*node
	for symbol, n := range counts {
		if n > 0 {
			leaves = append(leaves, &node{count: n, symbol: symbol})
		}
	}
	slices.SortStableFunc(leaves, func(a, b *node) int { return cmp.Compare(a.count, b.count) })
	rarest := func() *node {
		from := &leaves
		if len(leaves) == 0 || len(joined) > 0 && joined[0].count < leaves[0].count {
			from = &joined
		}
		n := (*from)[0]
		*from = (*from)[1:]
		return n
	}
	for len(leaves)+len(joined) > 1 {
		a, b := rarest(), rarest()
		joined = append(joined, &node{a.count + b.count, 0, a, b})
	}
	lengths := make([]uint8, len(counts))
	joined[0].measure(lengths, 0)
	return lengths
}

func (n *node) measure(lengths []uint8, depth uint8) {
	if n.left == nil {
		lengths[n.symbol] = depth
		return
	}
	n.left.measure(lengths, depth+1)
	n.right.measure(lengths, depth+1)
}

// longestCode is that of the alphabets of tokens (RFC 1951, 3.2.7).
const longestCode = 15

// code is a symbol's bits, the first one lowest.
type code struct {
	bits   uint16
	length uint8
}

// codesOf are the codes of such lengths (RFC 1951, 3.2.2).
func codesOf(lengths []uint8) []code {
	var next [longestCode + 2]uint16
	for _, n := range lengths {
		next[n+1]++
	}
	next[1] = 0
	for n := 2; n < len(next); n++ {
		next[n] = (next[n] + next[n-1]) << 1
	}
	list := make([]code, len(lengths))
	for symbol, n := range lengths {
		if n > 0 {
			list[symbol] = code{bits.Reverse16(next[n]) >> (16 - n), n}
			next[n]++
		}
	}
	return list
}
