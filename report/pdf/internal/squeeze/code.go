package squeeze

import (
	"math"
	"math/bits"
	"slices"
)

// The symbols for lengths and distances begin at these, and say the rest in extra bits (RFC 1951, 3.2.5).
var (
	lengthBases = [29]int32{3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258}
	lengthExtra = [29]int{0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5, 5, 0}

	distanceBases = [30]int32{1, 2, 3, 4, 5, 7, 9, 13, 17, 25, 33, 49, 65, 97, 129, 193, 257, 385, 513, 769, 1025, 1537, 2049, 3073, 4097,
		6145, 8193, 12289, 16385, 24577}

	lengthSymbols = symbolsOfLengths()
)

const endOfBlock = 256

func symbolsOfLengths() (list [longest + 1]uint8) {
	for s, base := range lengthBases {
		for n := int(base); n <= longest; n++ {
			list[n] = uint8(s)
		}
	}
	return list
}

func distanceSymbol(d int32) int {
	if d <= 4 {
		return int(d) - 1
	}
	n := bits.Len32(uint32(d-1)) - 1
	return 2*n + int((d-1)>>(n-1)&1)
}

func distanceExtra(symbol int) int { return max(0, symbol/2-1) }

// prices are what symbols cost in bits, extra bits among them.
type prices struct {
	literals  [256]float32
	lengths   [longest + 1]float32
	distances [len(distanceBases)]float32
}

// firstPrices are those before anything is known: of text and numbers.
func firstPrices() *prices {
	f := &frequencies{}
	for i := range f.literals {
		f.literals[i] = 1
	}
	for i := range lengthBases {
		f.literals[endOfBlock+1+i] = 4
	}
	for i := range f.distances {
		f.distances[i] = 1
	}
	return pricesOf(f)
}

func pricesOf(f *frequencies) *prices {
	p := &prices{}
	literals, distances := information(f.literals[:]), information(f.distances[:])
	copy(p.literals[:], literals)
	for n := shortest; n <= longest; n++ {
		s := int(lengthSymbols[n])
		p.lengths[n] = literals[endOfBlock+1+s] + float32(lengthExtra[s])
	}
	for s := range p.distances {
		p.distances[s] = distances[s] + float32(distanceExtra(s))
	}
	return p
}

// information of symbols in bits; one that did not occur counts as if it had occurred a third of a time.
func information(counts []int) []float32 {
	total := 1.
	for _, n := range counts {
		total += float64(n)
	}
	list := make([]float32, len(counts))
	for i, n := range counts {
		list[i] = float32(math.Log2(total / max(float64(n), 1./3)))
	}
	return list
}

// codeLengths are those of Huffman's code, in bits, none longer than most. Counts are halved until that is so.
func codeLengths(counts []int, most int) []int {
	counts = slices.Clone(counts)
	for {
		lengths := huffman(counts)
		if slices.Max(lengths) <= most {
			return lengths
		}
		for i, n := range counts {
			if n > 0 {
				counts[i] = n/2 + 1
			}
		}
	}
}

// node of a tree of symbols.
type node struct{ count, symbol, left, right int }

// huffman builds the tree from its leaves (Huffman, Proc. IRE 40 (1952) 1098). A lone symbol has one bit.
func huffman(counts []int) []int {
	var nodes []node
	for s, n := range counts {
		if n > 0 {
			nodes = append(nodes, node{n, s, -1, -1})
		}
	}
	lengths := make([]int, len(counts))
	leaves := len(nodes)
	if leaves == 1 {
		lengths[nodes[0].symbol] = 1
	}
	slices.SortStableFunc(nodes, func(a, b node) int { return a.count - b.count })
	leaf, joint := 0, leaves
	least := func() int { // of the leaves and joints that have none above them yet
		if joint == len(nodes) || leaf < leaves && nodes[leaf].count <= nodes[joint].count {
			leaf++
			return leaf - 1
		}
		joint++
		return joint - 1
	}
	for range max(leaves-1, 0) {
		a := least()
		b := least()
		nodes = append(nodes, node{nodes[a].count + nodes[b].count, -1, a, b})
	}
	depths := make([]int, len(nodes))
	for i := len(nodes) - 1; i >= leaves; i-- {
		depths[nodes[i].left], depths[nodes[i].right] = depths[i]+1, depths[i]+1
	}
	if leaves > 1 {
		for i, n := range nodes[:leaves] {
			lengths[n.symbol] = depths[i]
		}
	}
	return lengths
}
