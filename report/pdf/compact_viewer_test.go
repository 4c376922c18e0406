package pdf

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
)

// shown is what a content draws: a text at a place, or a path, with all that is in force.
type shown struct {
	what   string
	places []float64 // points on the page
}

// viewed is a graphics state: numbers in points.
type viewed struct {
	slots  graphics
	matrix affine
}

// viewer runs a content as a viewer would (ISO 32000-1:2008, 8.4, 8.10 and 9.4), independently of how it is written.
type viewer struct {
	names  map[string]string // short names of fonts
	codes  *codes
	forms  map[string][]byte
	space  []byte // steps of red, green and blue of the colours that are told by their places
	now    viewed
	saved  []viewed
	line   affine
	path   string
	points []float64
	list   []shown
}

func numbers(o operation) (list []float64) {
	for _, v := range o.operands {
		if x, err := strconv.ParseFloat(string(v), 64); err == nil {
			list = append(list, x)
		}
	}
	return list
}

func (v *viewer) place(m affine, x, y float64) []float64 {
	a, b := m.apply(vg.Point{X: vg.Length(x), Y: vg.Length(y)})
	return []float64{a, b}
}

// colour keeps a colour in steps of red, green and blue.
func (v *viewer) colour(slot int, amounts []float64) {
	var steps [3]int
	for i := range steps {
		steps[i] = int(math.Round(amounts[i%len(amounts)] * 255))
	}
	v.now.slots[slot] = fmt.Sprint(steps)
}

// listed keeps a colour that is told by its place in the list.
func (v *viewer) listed(slot int, o operation) {
	at := 3 * int(numbers(o)[0])
	v.colour(slot, []float64{float64(v.space[at]) / 255, float64(v.space[at+1]) / 255, float64(v.space[at+2]) / 255})
}

// set keeps an operator of the graphics state with its lengths in points.
func (v *viewer) set(slot int, o operation) {
	if slot == fillSlot || slot == strokeSlot {
		v.colour(slot, numbers(o))
		return
	}
	scale := 1.
	if slot == widthSlot || slot == dashSlot {
		scale = v.now.matrix.scale()
	}
	var b strings.Builder
	for _, operand := range o.operands {
		for _, token := range strings.Fields(strings.NewReplacer("[", " [ ", "]", " ] ").Replace(string(operand))) {
			x, err := strconv.ParseFloat(token, 64)
			switch short := v.names[token]; {
			case err == nil && slot != capSlot && slot != joinSlot:
				fmt.Fprintf(&b, "%.2f ", x*scale)
			case short != "":
				b.WriteString(short + " ")
			default:
				b.WriteString(token + " ")
			}
		}
	}
	v.now.slots[slot] = b.String() + o.operator
}

func (v *viewer) begin() {
	v.now = viewed{matrix: affine{1, 0, 0, 1, 0, 0}}
	for slot, told := range firstGraphics {
		if o, _, _ := nextOperation([]byte(told)); o.operator != "" {
			v.set(slot, o)
		}
	}
}

func (v *viewer) run(t *testing.T, content []byte) []shown {
	t.Helper()
	for rest := content; ; {
		o, after, ok := nextOperation(rest)
		if !ok {
			t.Fatalf("not read: %.60q", rest)
		}
		if o.operator == "" {
			return v.list
		}
		v.step(t, o)
		rest = after
	}
}

func (v *viewer) step(t *testing.T, o operation) {
	n := numbers(o)
	if slot := slotOf(o.operator); slot >= 0 {
		v.set(slot, o)
		return
	}
	switch o.operator {
	case "cs":
		v.listed(fillSlot, operation{operands: [][]byte{[]byte("0")}})
	case "CS":
		v.listed(strokeSlot, operation{operands: [][]byte{[]byte("0")}})
	case "sc":
		v.listed(fillSlot, o)
	case "SC":
		v.listed(strokeSlot, o)
	case "q":
		v.saved = append(v.saved, v.now)
	case "Q":
		v.now, v.saved = v.saved[len(v.saved)-1], v.saved[:len(v.saved)-1]
	case "cm":
		v.now.matrix = v.now.matrix.after(affine(n))
	case "Do":
		before := v.now
		v.begin() // as viewers do that forget what is in force
		v.now.matrix = before.matrix
		v.run(t, v.forms[string(o.operands[0])])
		v.now = before
	case "BT":
		v.line = affine{1, 0, 0, 1, 0, 0}
	case "ET":
	case "Tm":
		v.line = affine(n)
	case "Td":
		v.line = v.line.after(affine{1, 0, 0, 1, n[0], n[1]})
	case "Tj":
		v.show(o)
	case "m", "l", "c", "h", "re":
		v.draw(o.operator, n)
	case "S", "f", "B", "n":
		v.paint(o.operator)
	default:
		t.Fatalf("%s is not known", o.operator)
	}
}

func (v *viewer) show(o operation) {
	m := v.now.matrix.after(v.line)
	font := strings.Fields(v.now.slots[fontSlot])
	size, _ := strconv.ParseFloat(font[1], 64)
	v.list = append(v.list, shown{fmt.Sprintf("%s %s %.2f at %.2f %s", v.codes.decoded(o.operands[0][1:]), font[0], size*m.scale(), m.angle(),
		v.now.slots[fillSlot]), v.place(m, 0, 0)})
}

func (v *viewer) draw(operator string, n []float64) {
	if at := len(v.points) - 2; operator == "l" && v.path == "m" && math.Hypot(v.place(v.now.matrix, n[0], n[1])[0]-v.points[at],
		v.place(v.now.matrix, n[0], n[1])[1]-v.points[at+1]) < 1e-6 {
		return // no line
	}
	v.path += operator
	for i := 0; i+1 < len(n) && (operator != "re" || i == 0); i += 2 {
		v.points = append(v.points, v.place(v.now.matrix, n[i], n[i+1])...)
	}
	if operator == "re" {
		v.points = append(v.points, n[2]*v.now.matrix.scale(), n[3]*v.now.matrix.scale())
	}
}

// paint notes a filled path and a stroked one apart.
func (v *viewer) paint(operator string) {
	if operator == "f" || operator == "B" {
		v.list = append(v.list, shown{v.path + "f" + v.now.slots[fillSlot], v.points})
	}
	if operator == "S" || operator == "B" {
		v.list = append(v.list, shown{fmt.Sprint(v.path, "S", v.now.slots[strokeSlot:fontSlot]), v.points})
	}
	v.path, v.points = "", nil
}
