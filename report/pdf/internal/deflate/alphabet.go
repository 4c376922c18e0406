package deflate

import "math/bits"

// lengthClasses are the symbols of lengths by their first length, and how many bits come after them (RFC 1951, 3.2.5).
var (
	firstOfClass  = [...]int{3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258}
	extraOfLength = [...]int{0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5, 5, 0}
	classOf       = classes()
)

// classes are those of all lengths.
func classes() (of [longest - shortest + 1]uint8) {
	for class, length := range firstOfClass {
		for ; length <= longest; length++ {
			of[length-shortest] = uint8(class)
		}
	}
	return of
}

// slotOf is the symbol of a distance less 1: two for every number of digits in base 2.
func slotOf(back int) int {
	if back < 4 {
		return back
	}
	digits := bits.Len(uint(back))
	return 2*(digits-1) + back>>(digits-2)&1
}

// extraOfSlot is how many bits come after the symbol of a distance.
func extraOfSlot(slot int) int { return max(0, slot/2-1) }
