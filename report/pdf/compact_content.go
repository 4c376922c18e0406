package pdf

import "strconv"

// pageOf is the content of a page that shows items (ISO 32000-1:2008, annex A) in tenths of a point: colours, pens and fonts
// only where something is drawn with them that is not in force, texts in one text object each placed from the one before, and
// what is drawn elsewhere too by its form.
func (p *plan) pageOf(items []placed) []byte {
	w := &contentWriter{plan: p, colours: p.colours, told: firstGraphics, out: make([]byte, 0, 16*len(items))}
	w.out = append(w.out, ".1 0 0 .1 0 0 cm "+p.colours.begin()...)
	if p.colours != nil {
		w.told[fillSlot], w.told[strokeSlot] = "", ""
	}
	for i := 0; i < len(items); {
		f := p.formAt(items[i:])
		if f == nil {
			w.write(items[i])
			i++
			continue
		}
		w.call(f, items[i].at)
		i += len(f.items)
	}
	w.endText()
	return w.out
}

// formOf is the content of a form, whose first item stands at its origin. It rests on nothing that is in force where it is drawn:
// some viewers begin a form with what is in force where a page begins.
func (p *plan) formOf(items []placed) []byte {
	w := &contentWriter{plan: p}
	for _, it := range items {
		w.write(it)
	}
	w.endText()
	return w.out
}

// contentWriter writes a content. The zero value knows of no graphics that are in force.
type contentWriter struct {
	plan    *plan
	colours *colours // nil: they are told by their amounts
	out     []byte
	told    graphics
	origin  [2]int // in force, from that of the page
	inText  bool
	line    [2]int // where the last text began, from the origin
}

func (w *contentWriter) write(it placed) {
	switch it.kind {
	case ofText:
		w.show(it)
	case ofPath:
		w.endText()
		w.tell(&it.look)
		w.move(it.at)
		w.say(it.body)
	default:
		w.asItIs(it)
	}
}

func (w *contentWriter) say(words string) { w.out = append(append(w.out, words...), ' ') }

// call draws a form.
func (w *contentWriter) call(f *form, at [2]int) {
	w.endText()
	w.move(at)
	w.out = append(append(append(w.out, '/'), f.name...), " Do "...)
}

// move puts the origin at a place.
func (w *contentWriter) move(at [2]int) {
	if at != w.origin {
		w.out = append(w.out, "1 0 0 1 "...)
		w.pair(at, w.origin)
		w.out = append(w.out, "cm "...)
		w.origin = at
	}
}

// pair writes a place as seen from another.
func (w *contentWriter) pair(at, from [2]int) {
	for i := range at {
		w.out = append(strconv.AppendInt(w.out, int64(at[i]-from[i]), 10), ' ')
	}
}

// tell writes what a thing needs and is not in force.
func (w *contentWriter) tell(look *graphics) {
	for s, want := range look {
		if want != "" && want != w.told[s] {
			w.say(w.colours.said(s, want))
			w.told[s] = want
		}
	}
}

func (w *contentWriter) show(it placed) {
	if !w.inText {
		w.out = append(w.out, "BT "...)
		w.inText, w.line = true, w.origin
	}
	w.tell(&it.look)
	if it.turn == "" {
		w.pair(it.at, w.line)
		w.out = append(w.out, "Td"...)
		w.line = it.at
	} else {
		w.out = append(w.out, it.turn...)
		w.pair(it.at, w.origin)
		w.out = append(w.out, "Tm"...)
	}
	w.out = append(w.plan.codes.appendCoded(w.out, it.body), "Tj "...)
	if it.turn != "" {
		w.endText()
	}
}

func (w *contentWriter) endText() {
	if w.inText {
		w.out = append(w.out, "ET "...)
		w.inText = false
	}
}

// asItIs writes what is kept, in its own units.
func (w *contentWriter) asItIs(it placed) {
	w.endText()
	w.out = append(append(append(w.out, "q "...), it.turn...), " 0 0 "...)
	w.out = append(append(w.out, it.turn...), ' ')
	w.pair(it.at, w.origin)
	w.out = append(w.out, "cm "...)
	for _, g := range it.look {
		if g != "" {
			w.say(g)
		}
	}
	for rest := []byte(it.body); ; {
		o, after, ok := nextOperation(rest)
		if !ok || o.operator == "" {
			break
		}
		for i, v := range o.operands {
			if v[0] == '(' {
				o.operands[i] = w.plan.codes.appendCoded(nil, string(v))
			}
		}
		w.say(string(said(o, nil)))
		rest = after
	}
	w.out = append(w.out, "Q "...)
}
