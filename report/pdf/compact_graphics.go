package pdf

import (
	"bytes"
	"math"
	"strconv"
)

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

// appendShort writes a number of an operator with the decimals that it needs: turns to a hundred thousandth, lengths to a hundredth
// of a point, colours to their step. One that cannot be read stays as it is.
func appendShort(b, number []byte, operator string) []byte {
	v, err := strconv.ParseFloat(string(number), 64)
	if err != nil {
		return append(b, number...)
	}
	switch operator {
	case "cm":
		return appendNumber(b, v, 5)
	case "g", "rg", "G", "RG":
		return appendNumber(b, v, decimalsOfColour(v))
	}
	return appendNumber(b, v, 2)
}

// decimalsOfColour are as many as tell the step, of 256, of an amount of a colour from all others.
func decimalsOfColour(v float64) int {
	const last, most = 255, 3
	step := math.Round(v * last)
	for decimals, tens := 0, 1.; decimals < most; decimals, tens = decimals+1, tens*10 {
		if math.Round(math.Round(v*tens)/tens*last) == step {
			return decimals
		}
	}
	return most
}

// said is an operation with its numbers as short as they may be, and with other names of fonts.
func said(o operation, names map[string]string) []byte {
	var b []byte
	for _, v := range o.operands {
		switch name, isFont := names[string(v)]; {
		case isFont:
			b = append(b, name...)
		case bytes.IndexByte(v, '.') >= 0 && v[0] != '[' && v[0] != '(':
			b = appendShort(b, v, o.operator)
		default:
			b = append(b, v...)
		}
		b = append(b, ' ')
	}
	return append(b, o.operator...)
}

// hasUnits reports whether numbers in a slot are lengths.
func hasUnits(slot int) bool { return slot == widthSlot || slot == dashSlot || slot == fontSlot }

// scaled is the same in units of which so many make one.
func scaled(g graphics, units float64) graphics {
	for slot := range g {
		if !hasUnits(slot) {
			continue
		}
		var b []byte
		for _, token := range bytes.Fields([]byte(g[slot])) {
			bare := bytes.Trim(token, "[]")
			v, err := strconv.ParseFloat(string(bare), 64)
			if err != nil {
				b = append(append(b, token...), ' ')
				continue
			}
			before, after, _ := bytes.Cut(token, bare)
			b = append(append(appendNumber(append(b, before...), v*units, 1), after...), ' ')
		}
		g[slot] = string(bytes.TrimRight(b, " "))
	}
	return g
}
