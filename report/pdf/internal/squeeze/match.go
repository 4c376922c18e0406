package squeeze

// repeat is a sequence that stood some bytes before; of length 1 it is a single byte.
type repeat struct{ length, distance int32 }

// The limits of repetitions (RFC 1951, 3.2.5), and how far they are looked for.
const (
	shortest, longest = 3, 258
	window            = 1 << 15
	enough            = 64 // a repetition as long is taken at once
	deepest           = 32
)

// matcher finds the repetitions in bytes.
type matcher struct {
	plain []byte
	heads []int32 // the last place of three bytes, by their hash; -1 for none
	links []int32 // the place before with the same hash
	at    int     // that places before are known
}

const hashBits = 15

func newMatcher(plain []byte) *matcher {
	m := &matcher{plain: plain, heads: make([]int32, 1<<hashBits), links: make([]int32, len(plain))}
	for i := range m.heads {
		m.heads[i] = -1
	}
	return m
}

func (m *matcher) hash(i int) uint32 {
	v := uint32(m.plain[i]) | uint32(m.plain[i+1])<<8 | uint32(m.plain[i+2])<<16
	return v * 0x9E3779B1 >> (32 - hashBits) // 2³² over the golden ratio
}

// know makes the places before one known.
func (m *matcher) know(before int) {
	for ; m.at < before && m.at+shortest <= len(m.plain); m.at++ {
		h := m.hash(m.at)
		m.links[m.at], m.heads[h] = m.heads[h], int32(m.at)
	}
}

// matches are the repetitions at each place of a block: for each length the nearest, the lengths rising.
func (m *matcher) matches(from, to int) [][]repeat {
	found := make([][]repeat, to-from)
	var all []repeat
	for i := from; i < to; i++ {
		m.know(i)
		start := len(all)
		all = m.append(all, i, min(longest, to-i))
		found[i-from] = all[start:len(all):len(all)]
		if n := len(all); n > start && all[n-1].length >= enough {
			i += int(all[n-1].length) - 1 // what lies within it is not looked at
		}
	}
	return found
}

func (m *matcher) append(list []repeat, i, limit int) []repeat {
	if limit < shortest {
		return list
	}
	best := shortest - 1
	tries := deepest
	for j := int(m.heads[m.hash(i)]); j >= 0 && i-j <= window && tries > 0; j, tries = int(m.links[j]), tries-1 {
		if m.plain[j+best] != m.plain[i+best] {
			continue
		}
		n := 0
		for n < limit && m.plain[j+n] == m.plain[i+n] {
			n++
		}
		if n > best {
			list, best = append(list, repeat{int32(n), int32(i - j)}), n
			if n >= enough || n == limit {
				break
			}
		}
	}
	return list
}
