package deflate

import "math"

// token is a byte, or a repetition.
type token struct {
	repetition // its length is 0 for a byte
	literal    byte
}

// parse is a stretch of a text that is to be said in tokens.
type parse struct {
	text  []byte
	found []repetition // of all places one after the other
	begin []int        // of each place in found, and the end of the last
	cost  []uint32     // of the cheapest way to each place
	step  []repetition // that leads to it; a byte's length is 1
}

// newParse looks for all repetitions in a stretch of the finder's text.
func newParse(f *finder, from, to int) *parse {
	n := to - from
	p := &parse{
		text: f.text[from:to], found: make([]repetition, 0, 2*n), begin: make([]int, n+1),
		cost: make([]uint32, n+1), step: make([]repetition, n+1),
	}
	for skip := 0; f.next < to; {
		at := f.next
		p.begin[at-from] = len(p.found)
		found := f.add(p.found, to)
		if skip > 0 {
			skip--
			continue
		}
		p.found = found
		if last := len(found) - 1; last >= p.begin[at-from] && found[last].length >= longEnough {
			skip = int(found[last].length) - 1
		}
	}
	p.begin[n] = len(p.found)
	return p
}

// rounds are how often the parse is made anew by the costs that the one before led to (common practice).
const rounds = 2

// settle is the stretch in blocks of tokens, of which first are prices to begin with.
func (p *parse) settle(first *prices) []block {
	prices := []priced{{len(p.text), first}}
	var blocks []block
	for range rounds {
		blocks = split(p.tokens(prices))
		prices = prices[:0]
		end := 0
		for _, b := range blocks {
			end += b.bytes
			prices = append(prices, priced{end, b.counts.prices()})
		}
	}
	return blocks
}

// priced are the prices in force up to a place.
type priced struct {
	end int
	*prices
}

// tokens is the cheapest way of saying the stretch.
func (p *parse) tokens(prices []priced) []token {
	for i := range p.cost[1:] {
		p.cost[i+1] = math.MaxUint32
	}
	for i := range p.text {
		for i >= prices[0].end {
			prices = prices[1:]
		}
		p.relax(i, prices[0].prices)
	}
	return p.traced()
}

// relax finds what a place leads to.
func (p *parse) relax(at int, by *prices) {
	cost, step := p.cost[at:], p.step[at:]
	if c := cost[0] + by.literal[p.text[at]]; c < cost[1] {
		cost[1], step[1] = c, repetition{length: 1}
	}
	length := shortest
	for _, r := range p.found[p.begin[at]:p.begin[at+1]] {
		base := cost[0] + by.back[slotOf(int(r.back))]
		for ; length <= int(r.length); length++ {
			if c := base + by.length[length]; c < cost[length] {
				cost[length], step[length] = c, repetition{uint16(length), r.back}
			}
		}
	}
}

// traced are the tokens of the way to the end.
func (p *parse) traced() []token {
	n := 0
	for at := len(p.text); at > 0; at -= int(p.step[at].length) {
		n++
	}
	list := make([]token, n)
	for at := len(p.text); at > 0; {
		s := p.step[at]
		at -= int(s.length)
		n--
		if s.length == 1 {
			list[n] = token{literal: p.text[at]}
		} else {
			list[n] = token{repetition: s}
		}
	}
	return list
}
