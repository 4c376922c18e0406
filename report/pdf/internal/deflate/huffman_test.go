package deflate

import (
	"math/bits"
	"testing"
)

// TestCodesOfTheStandard: the example of RFC 1951, 3.2.2: A to H of lengths 3, 3, 3, 3, 3, 2, 4, 4.
func TestCodesOfTheStandard(t *testing.T) {
	want := []uint16{0b010, 0b011, 0b100, 0b101, 0b110, 0b00, 0b1110, 0b1111}
	for i, c := range codesOf([]uint8{3, 3, 3, 3, 3, 2, 4, 4}) {
		if got := bits.Reverse16(c.bits) >> (16 - c.length); got != want[i] {
			t.Errorf("%c: %b, want %b", 'A'+i, got, want[i])
		}
	}
}

// TestLengthsOfAPaper: the ensemble of Huffman (Proceedings of the IRE 40 (1952) 1098), table I, in hundredths, takes 3.42 digits a
// message on average (from memory).
func TestLengthsOfAPaper(t *testing.T) {
	counts := []uint32{20, 18, 10, 10, 10, 6, 6, 4, 4, 4, 4, 3, 1}
	lengths := lengthsOf(counts, longestCode)
	sum := 0
	for i, n := range counts {
		sum += int(n) * int(lengths[i])
	}
	if sum != 342 {
		t.Errorf("%d digits a hundred messages, want 342", sum)
	}
}

// TestNoCodeTooLong: counts of Fibonacci make the longest codes that there are; they end at most where they may, and leave no gap
// (Kraft's sum is 1).
func TestNoCodeTooLong(t *testing.T) {
	counts := make([]uint32, 30)
	for i, a, b := 0, uint32(1), uint32(1); i < len(counts); i, a, b = i+1, b, a+b {
		counts[i] = a
	}
	for _, most := range []int{7, longestCode} {
		sum := 0
		for _, n := range lengthsOf(counts, most) {
			if int(n) > most {
				t.Errorf("a code of %d bits, at most %d", n, most)
			}
			sum += 1 << (most - int(n))
		}
		if sum != 1<<most {
			t.Errorf("sum %d of %d", sum, 1<<most)
		}
	}
}

// TestSymbolsOfTheStandard: rows of the tables of RFC 1951, 3.2.5.
func TestSymbolsOfTheStandard(t *testing.T) {
	for length, want := range map[int]int{3: 257, 10: 264, 11: 265, 12: 265, 13: 266, 115: 280, 130: 280, 131: 281, 257: 284, 258: 285} {
		if got := firstLengths + int(classOf[length-shortest]); got != want {
			t.Errorf("length %d: %d, want %d", length, got, want)
		}
	}
	for distance, want := range map[int][2]int{1: {0, 0}, 4: {3, 0}, 5: {4, 1}, 6: {4, 1}, 7: {5, 1}, 192: {14, 6}, 193: {15, 6}, 24577: {29, 13}, 32768: {29, 13}} {
		slot := slotOf(distance - 1)
		if got := [2]int{slot, extraOfSlot(slot)}; got != want {
			t.Errorf("distance %d: %v, want %v", distance, got, want)
		}
	}
}

func TestLogarithm(t *testing.T) {
	for n, want := range map[uint32]uint32{1: 0, 2: 64, 3: 101, 1000: 637, 1 << 31: 31 * 64} { // 64·log₂ 3 = 101.4, 64·log₂ 1000 = 637.8
		if got := logarithm(n); got != want {
			t.Errorf("%d: %d, want %d", n, got, want)
		}
	}
}
