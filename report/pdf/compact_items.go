package pdf

import (
	"bytes"
	"math"
	"strconv"
	"strings"
)

// thing is a text or a path as it looks, wherever it stands; lengths are in tenths of a point, the units of drawings.
type thing struct {
	kind byte
	body string   // the string of a text; the operators of a path from its first point on; the operations of what is kept as it is
	turn string   // a text's matrix without its place, blank where it is upright; the scale of what is kept as it is
	look graphics // of what it needs
}

// The kinds of things.
const (
	ofText = iota
	ofPath
	asItIs
)

// placed is a thing at a place of a page: from the page's bottom left corner in tenths of a point, 0.035 mm.
type placed struct {
	thing
	at [2]int
}

// itemsOf reads the content of a page as fpdf writes it (ISO 32000-1:2008, annex A). Between q and Q, what is of other kinds is
// kept as it is; elsewhere the content is not ok.
func itemsOf(content []byte, names map[string]string) (list []placed, ok bool) {
	r := &itemReader{names: names, content: content, matrix: affine{1, 0, 0, 1, 0, 0}, raw: firstGraphics}
	for rest := content; ; {
		var o operation
		at := len(content) - len(rest)
		if o, rest, ok = nextOperation(rest); !ok || !r.take(o, at) {
			return nil, false
		}
		if o.operator == "" {
			return r.items, len(r.path) == 0
		}
		if r.other && len(r.levels) == 0 && !r.keep(content[r.outermost.begin:len(content)-len(rest)]) {
			return nil, false
		}
	}
}

// itemReader is where a content has been read to.
type itemReader struct {
	names     map[string]string
	content   []byte
	items     []placed
	matrix    affine   // to points on the page
	raw       graphics // as they are told in the content
	look      graphics // the same for things
	looked    bool     // look is that of raw and matrix
	levels    []nesting
	outermost nesting // the one that was ended last
	other     bool    // something in it is of another kind
	base      spot
	path      []byte // the one being built, in things' units
	first     [2]float64
}

// nesting is what q saves, and where it stands in the content and among the items.
type nesting struct {
	matrix       affine
	raw          graphics
	begin, items int
}

func (r *itemReader) take(o operation, at int) bool {
	if slot := slotOf(o.operator); slot >= 0 {
		r.raw[slot] = string(said(o, r.names))
		r.look[slot] = r.raw[slot]
		r.looked = r.looked && !hasUnits(slot)
		return true
	}
	switch o.operator {
	case "", "ET":
	case "q":
		r.levels = append(r.levels, nesting{r.matrix, r.raw, at, len(r.items)})
	case "Q":
		return r.restore()
	case "cm":
		return r.move(o)
	case "BT":
		r.base = spot{}
	case "Td":
		v, ok := numbersOf(o, 2)
		r.base = spot{r.base[0] + v[0], r.base[1] + v[1]}
		return ok
	case "Tj":
		return r.show(o)
	case "m", "l", "c", "h", "re":
		return r.draw(o)
	case "S", "f", "B":
		return r.paint(o)
	default:
		r.other = true
		return len(r.levels) > 0
	}
	return true
}

func (r *itemReader) restore() bool {
	last := len(r.levels) - 1
	if last < 0 {
		return false
	}
	r.outermost, r.levels = r.levels[last], r.levels[:last]
	r.matrix, r.raw, r.looked = r.outermost.matrix, r.outermost.raw, false
	return true
}

func (r *itemReader) move(o operation) bool {
	v, ok := numbersOf(o, 6)
	if ok {
		r.looked = r.looked && v[0] == 1 && v[1] == 0 && v[2] == 0 && v[3] == 1 // lengths stay
		r.matrix = r.matrix.after(affine(v))
	}
	return ok
}

// upright is the scale of the matrix where it does no more than to scale by a usual one and move.
func (r *itemReader) upright() (scale float64, ok bool) {
	m := r.matrix
	scale = m[0]
	return scale, m[1] == 0 && m[2] == 0 && m[3] == scale && (scale == 1 || math.Abs(scale-0.1) < 1e-9)
}

// place is a point of the content in things' units.
func (r *itemReader) place(x, y float64) spot {
	m := r.matrix
	return spot{(m[0]*x + m[2]*y + m[4]) * gridsPerPoint, (m[1]*x + m[3]*y + m[5]) * gridsPerPoint}
}

func (r *itemReader) add(t thing, at spot, slots ...int) {
	if !r.looked {
		r.look, r.looked = scaled(r.raw, r.matrix.scale()*gridsPerPoint), true
	}
	for _, s := range slots {
		t.look[s] = r.look[s]
	}
	r.items = append(r.items, placed{t, [2]int{grid(at[0]), grid(at[1])}})
}

// spot is a point.
type spot = [2]float64

func (r *itemReader) show(o operation) bool {
	if len(o.operands) != 1 || o.operands[0][0] != '(' {
		return false
	}
	t := thing{kind: ofText, body: string(o.operands[0])}
	if m, k := r.matrix, r.matrix.scale(); m[1] != 0 || m[2] != 0 || m[0] != m[3] || k == 0 {
		for i := range 4 {
			t.turn = string(appendNumber([]byte(t.turn), m[i]/k, 5)) + " "
		}
	}
	r.add(t, r.place(r.base[0], r.base[1]), fontSlot, fillSlot)
	return true
}

// draw builds a path from its first point on.
func (r *itemReader) draw(o operation) bool {
	scale, ok := r.upright()
	if !ok {
		r.other = true
		return len(r.levels) > 0
	}
	v, ok := numbersOf(o, coordinatesOf(o.operator))
	if !ok || len(r.path) == 0 && o.operator != "m" && o.operator != "re" {
		return false
	}
	if len(r.path) == 0 {
		r.first = spot{v[0], v[1]}
	}
	for i := range len(o.operands) {
		if o.operator != "re" || i < 2 {
			v[i] -= r.first[i%2]
		}
		r.path = append(strconv.AppendInt(r.path, int64(grid(v[i]*scale*gridsPerPoint)), 10), ' ')
	}
	r.path = append(append(r.path, o.operator...), ' ')
	return true
}

// atOnce is how an arc begins whose line from where the pen is has no length.
const atOnce = "0 0 m 0 0 l "

// stroked are the slots that a stroked path needs, and a filled one last.
var stroked = [...]int{strokeSlot, widthSlot, capSlot, joinSlot, dashSlot, fillSlot}

func (r *itemReader) paint(o operation) bool {
	if r.other {
		return true
	}
	if len(o.operands) > 0 || len(r.path) == 0 {
		return false
	}
	body, at := string(r.path), r.place(r.first[0], r.first[1])
	r.path = r.path[:0]
	for len(body) > len(atOnce) && strings.HasPrefix(body, atOnce) {
		body = "0 0 m " + body[len(atOnce):]
	}
	switch {
	case o.operator == "f":
		r.add(thing{kind: ofPath, body: body + "f"}, at, fillSlot)
	case o.operator == "S" && r.filledBefore(body, at):
		before := r.items[len(r.items)-1]
		r.items = r.items[:len(r.items)-1]
		r.add(thing{kind: ofPath, body: body + "B", look: before.look}, at, stroked[:5]...)
	case o.operator == "S":
		r.add(thing{kind: ofPath, body: body + "S"}, at, stroked[:5]...)
	default:
		r.add(thing{kind: ofPath, body: body + o.operator}, at, stroked[:]...)
	}
	return true
}

// filledBefore reports whether the item before fills the same path.
func (r *itemReader) filledBefore(body string, at spot) bool {
	if len(r.items) == 0 {
		return false
	}
	last := r.items[len(r.items)-1]
	return last.kind == ofPath && last.body == body+"f" && last.at == [2]int{grid(at[0]), grid(at[1])}
}

// keep puts what stands between the outermost q and its Q in the place of the items in it.
func (r *itemReader) keep(source []byte) bool {
	k, ok := r.upright()
	r.items, r.path, r.other = r.items[:r.outermost.items], r.path[:0], false
	var b []byte
	for rest := bytes.TrimSpace(source); len(rest) > 0; {
		o, after, ok := nextOperation(rest)
		if !ok || o.operator == "" {
			break
		}
		b, rest = append(append(b, said(o, r.names)...), ' '), after
	}
	t := thing{kind: asItIs, body: string(b), turn: string(appendNumber(nil, k*gridsPerPoint, 5)), look: r.raw}
	r.items = append(r.items, placed{t, [2]int{grid(r.matrix[4] * gridsPerPoint), grid(r.matrix[5] * gridsPerPoint)}})
	return ok
}
