package pdf

import "strconv"

// graphics is the part of the graphics state that is told late: an operator with its operands for each of the slots.
type graphics [slotsOfGraphics]string

const (
	fillSlot = iota
	strokeSlot
	widthSlot
	capSlot
	joinSlot
	dashSlot
	fontSlot
	slotsOfGraphics
)

// firstGraphics is in force where a page begins (ISO 32000-1:2008, table 52).
var firstGraphics = graphics{"0 g", "0 G", "1 w", "0 J", "0 j", "[] 0 d", ""}

// slotOf is where an operator's effect is kept, -1 for others.
func slotOf(operator string) int {
	switch operator {
	case "g", "rg":
		return fillSlot
	case "G", "RG":
		return strokeSlot
	case "w":
		return widthSlot
	case "J":
		return capSlot
	case "j":
		return joinSlot
	case "d":
		return dashSlot
	case "Tf":
		return fontSlot
	}
	return -1
}

// decimalsOf are those that an operator's numbers need: turns to a hundred thousandth, colours, which have 256 steps, to a
// thousandth, lengths to a hundredth of a point.
func decimalsOf(operator string) int {
	switch operator {
	case "cm":
		return 5
	case "g", "rg", "G", "RG":
		return 3
	}
	return 2
}

// appendShort writes a number with at most so many decimals; one that cannot be read as it is.
func appendShort(b, number []byte, decimals int) []byte {
	v, err := strconv.ParseFloat(string(number), 64)
	if err != nil {
		return append(b, number...)
	}
	return appendNumber(b, v, decimals)
}
