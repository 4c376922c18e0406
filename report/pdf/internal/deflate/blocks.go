package deflate

// block is a run of tokens with codes of its own.
type block struct {
	tokens []token
	bytes  int // that it says
	counts counts
}

// grain is how many tokens there are between two places at which a block may end.
const grain = 256

// split parts tokens into blocks so that codes and what is said in them are short together.
func split(tokens []token) (list []block) {
	sums := []counts{{}}
	for at := 0; at < len(tokens); at += grain {
		s := sums[len(sums)-1]
		for _, t := range tokens[at:min(at+grain, len(tokens))] {
			s.add(t)
		}
		sums = append(sums, s)
	}
	ends := cheapestEnds(sums)
	from := 0
	for _, end := range ends {
		list = append(list, newBlock(tokens[min(from*grain, len(tokens)):min(end*grain, len(tokens))]))
		from = end
	}
	return list
}

// cheapestEnds are where blocks end, by the counts up to each place.
func cheapestEnds(sums []counts) (ends []int) {
	cost, from := make([]uint64, len(sums)), make([]int, len(sums))
	for to := 1; to < len(sums); to++ {
		cost[to] = cost[0] + estimate(&sums[0], &sums[to])
		from[to] = 0
		for k := 1; k < to; k++ {
			if c := cost[k] + estimate(&sums[k], &sums[to]); c < cost[to] {
				cost[to], from[to] = c, k
			}
		}
	}
	for at := len(sums) - 1; at > 0; at = from[at] {
		ends = append([]int{at}, ends...)
	}
	if len(ends) == 0 {
		return []int{0}
	}
	return ends
}

// What a block costs beside its tokens, about, in bits: its beginning, and each symbol in its codes.
const (
	bitsOfBlock  = 80
	bitsOfSymbol = 4
)

// estimate is what the tokens between two sums cost as a block, without the bits after symbols.
func estimate(from, to *counts) uint64 {
	return perBit*bitsOfBlock + entropy(from.literal[:], to.literal[:]) + entropy(from.distance[:], to.distance[:])
}

func entropy(from, to []uint32) (cost uint64) {
	sum := uint32(0)
	for i := range to {
		if n := to[i] - from[i]; n > 0 {
			sum += n
			cost += perBit*bitsOfSymbol - uint64(n)*uint64(logarithm(n))
		}
	}
	if sum > 0 {
		cost += uint64(sum) * uint64(logarithm(sum))
	}
	return cost
}

func newBlock(tokens []token) block {
	b := block{tokens: tokens}
	for _, t := range tokens {
		b.counts.add(t)
		b.bytes += max(1, int(t.length))
	}
	b.counts.literal[endOfBlock] = 1
	return b
}
