package deflate

// order of the lengths of the codes for lengths (RFC 1951, 3.2.7).
var order = [...]int{16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15}

// run is a symbol of the alphabet of lengths, with the bits that come after it.
type run struct {
	symbol       uint8
	extra, width int
}

// The symbols that stand for several lengths: the one before again, zeros, many zeros (RFC 1951, 3.2.7).
const (
	again     = 16
	zeros     = 17
	manyZeros = 18
	lengths   = 19
)

// headOf says the lengths of two codes in the shortest of some ways: with or without each of the symbols that stand for several.
func headOf(literal, distance []uint8) (best []said) {
	literal, distance = trimmed(literal, firstLengths), trimmed(distance, 1)
	all := append(append([]uint8{}, literal...), distance...)
	shortestSize := 0
	for ways := range 8 {
		runs := runsOf(all, ways&1 > 0, ways&2 > 0, ways&4 > 0)
		list := headIn(len(literal), len(distance), runs)
		size := 0
		for _, s := range list {
			size += s.length
		}
		if best == nil || size < shortestSize {
			best, shortestSize = list, size
		}
	}
	return best
}

// trimmed leaves out zeros at the end, but not the first ones.
func trimmed(lengths []uint8, least int) []uint8 {
	n := len(lengths)
	for n > least && lengths[n-1] == 0 {
		n--
	}
	return lengths[:n]
}

func runsOf(all []uint8, useAgain, useZeros, useMany bool) (list []run) {
	for i := 0; i < len(all); {
		n := 1
		for i+n < len(all) && all[i+n] == all[i] {
			n++
		}
		value := all[i]
		i += n
		if value == 0 {
			for useMany && n >= 11 {
				list, n = append(list, run{manyZeros, min(n, 138) - 11, 7}), n-min(n, 138)
			}
			for useZeros && n >= 3 {
				list, n = append(list, run{zeros, min(n, 10) - 3, 3}), n-min(n, 10)
			}
		} else if useAgain && n > 3 {
			list, n = append(list, run{symbol: value}), n-1
			for n >= 3 {
				list, n = append(list, run{again, min(n, 6) - 3, 2}), n-min(n, 6)
			}
		}
		for range n {
			list = append(list, run{symbol: value})
		}
	}
	return list
}

// headIn says runs in a code made for them.
func headIn(literals, distances int, runs []run) (list []said) {
	var counts [lengths]uint32
	for _, r := range runs {
		counts[r.symbol]++
	}
	const most = 7
	own := lengthsOf(counts[:], most)
	n := len(order)
	for n > 4 && own[order[n-1]] == 0 {
		n--
	}
	list = append(list, said{uint64(literals - firstLengths), 5}, said{uint64(distances - 1), 5}, said{uint64(n - 4), 4})
	for _, symbol := range order[:n] {
		list = append(list, said{uint64(own[symbol]), 3})
	}
	code := codesOf(own)
	for _, r := range runs {
		c := code[r.symbol]
		list = append(list, said{uint64(c.bits), int(c.length)}, said{uint64(r.extra), r.width})
	}
	return list
}
