package pdf

import (
	"bytes"
	"math"
	"strconv"
)

// terse says what the content of a page says in fewer operators (ISO 32000-1:2008, annex A): colours, pens and fonts
// only where something is drawn with them that is not in force, texts in one text object, each placed from the one before in
// tenths of a point, 0.035 mm. Names of fonts are changed as told. A content that has other operators stays as it is.
func terse(content []byte, names map[string]string) []byte {
	w := &terseWriter{names: names, asked: firstGraphics, told: firstGraphics, out: make([]byte, 0, len(content)/2)}
	for rest := content; ; {
		var o operation
		var ok bool
		if o, rest, ok = nextOperation(rest); !ok || !w.take(o) {
			return content
		}
		if o.operator == "" {
			w.endText()
			return w.out
		}
	}
}

// saved is what q saves; its q is written once something in it needs it.
type saved struct {
	asked, told graphics
	written     bool
}

// terseWriter writes a content anew.
type terseWriter struct {
	out         []byte
	names       map[string]string
	asked, told graphics // in force in the content that is read, and in the one that is written
	levels      []saved
	path        []byte     // the one being built
	clips       bool       // it will clip
	base        [2]float64 // where the line of text begins that is read, in points
	inText      bool
	at          [2]int // where the last text began that was written, in tenths of a point
}

func (w *terseWriter) take(o operation) bool {
	if slot := slotOf(o.operator); slot >= 0 {
		w.asked[slot] = string(w.said(o))
		return true
	}
	switch o.operator {
	case "":
		return len(w.path) == 0
	case "ET":
	case "q":
		w.levels = append(w.levels, saved{asked: w.asked})
	case "Q":
		return w.restore()
	case "BT":
		w.base = [2]float64{}
	case "Td":
		return w.move(o.operands)
	case "Tj":
		return w.show(o.operands)
	case "cm", "Do":
		w.apply(o)
	default:
		return w.draw(o)
	}
	return true
}

// apply writes an operator that needs all that was saved and asked before it.
func (w *terseWriter) apply(o operation) {
	w.endText()
	w.save()
	if o.operator == "Do" {
		w.tell(fillSlot, strokeSlot, widthSlot, capSlot, joinSlot, dashSlot)
	}
	w.out = append(append(w.out, w.said(o)...), '\n')
}

// save writes what q has not been written for yet.
func (w *terseWriter) save() {
	for i := range w.levels {
		if l := &w.levels[i]; !l.written {
			w.endText()
			w.out = append(w.out, "q\n"...)
			l.written, l.told = true, w.told
		}
	}
}

func (w *terseWriter) restore() bool {
	last := len(w.levels) - 1
	if last < 0 {
		return false
	}
	l := w.levels[last]
	if l.written {
		w.endText()
		w.out = append(w.out, "Q\n"...)
		w.told = l.told
	}
	w.asked, w.levels = l.asked, w.levels[:last]
	return true
}

// tell writes what is asked of some slots and not in force.
func (w *terseWriter) tell(slots ...int) {
	for _, s := range slots {
		if w.asked[s] != w.told[s] {
			w.out = append(append(w.out, w.asked[s]...), '\n')
			w.told[s] = w.asked[s]
		}
	}
}

// draw builds a path, and writes it when it is painted.
func (w *terseWriter) draw(o operation) bool {
	switch o.operator {
	case "m", "l", "c", "h", "re":
	case "W":
		w.clips = true
	case "S", "s", "f", "B", "b", "n":
		return w.paint(o)
	default:
		return false
	}
	w.path = append(append(w.path, w.said(o)...), '\n')
	return true
}

func (w *terseWriter) paint(o operation) bool {
	if len(o.operands) > 0 || len(w.path) == 0 {
		return false
	}
	w.endText()
	if w.clips {
		w.save()
	}
	if o.operator == "f" || o.operator == "B" || o.operator == "b" {
		w.tell(fillSlot)
	}
	if o.operator != "f" && o.operator != "n" {
		w.tell(strokeSlot, widthSlot, capSlot, joinSlot, dashSlot)
	}
	w.out = append(append(append(w.out, w.path...), o.operator...), '\n')
	w.path, w.clips = w.path[:0], false
	return true
}

func (w *terseWriter) move(operands [][]byte) bool {
	for i := range min(len(operands), len(w.base)) {
		v, err := strconv.ParseFloat(string(operands[i]), 64)
		if err != nil {
			return false
		}
		w.base[i] += v
	}
	return len(operands) == len(w.base)
}

func (w *terseWriter) show(operands [][]byte) bool {
	if len(operands) != 1 || operands[0][0] != '(' {
		return false
	}
	if !w.inText {
		w.out = append(w.out, "BT\n"...)
		w.inText, w.at = true, [2]int{}
	}
	w.tell(fontSlot, fillSlot)
	for i, v := range w.base {
		at := int(math.Round(v * 10))
		w.out = append(appendNumber(w.out, float64(at-w.at[i])/10, 1), ' ')
		w.at[i] = at
	}
	w.out = append(append(append(w.out, "Td"...), operands[0]...), "Tj\n"...)
	return true
}

func (w *terseWriter) endText() {
	if w.inText {
		w.out = append(w.out, "ET\n"...)
		w.inText = false
	}
}

// said is an operation with its numbers as short as they may be.
func (w *terseWriter) said(o operation) []byte {
	var b []byte
	for _, v := range o.operands {
		switch name, isFont := w.names[string(v)]; {
		case isFont:
			b = append(b, name...)
		case bytes.IndexByte(v, '.') >= 0 && v[0] != '[' && v[0] != '(':
			b = appendShort(b, v, decimalsOf(o.operator))
		default:
			b = append(b, v...)
		}
		b = append(b, ' ')
	}
	return append(b, o.operator...)
}
