package pdf

import (
	"bytes"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
)

// gridsPerPoint is the resolution of drawings: coordinates are whole tenths of a point, 0.035 mm.
const gridsPerPoint = 10

// pathWriter writes path operators (ISO 32000-1:2008, 8.5) in whole units of the grid, every path from its
// first point as origin, and each origin from the one before. Marks, ticks, the lines of a grid or of a
// hatching then differ in the few digits of a step, which the page's compression turns into a few bytes.
type pathWriter struct {
	content []byte
	at      [2]int // the origin in force
	told    struct {
		fill, stroke color.NRGBA // the zero value, transparent, is none yet
		width        float64     // in units of the grid, to a tenth of one
		dash         []vg.Length
		offset       vg.Length
	}
}

// placed is what was written, for a drawing whose origin is at x, y in points.
func (w *pathWriter) placed(x, y float64) string {
	b := appendNumber(append(appendNumber([]byte(".1 0 0 .1 "), x, 2), ' '), y, 2)
	b = append(b, " cm\n0 J 1 j [] 0 d\n"...) // butt ends, round corners, no dashes
	return string(append(b, w.content[:len(w.content)-1]...))
}

func (w *pathWriter) fill(p vg.Path, s *state) {
	if w.told.fill != s.colour {
		w.colour(s.colour, "rg\n")
		w.told.fill = s.colour
	}
	w.shape(p, s.matrix)
	w.content = append(w.content, "f\n"...)
}

func (w *pathWriter) stroke(p vg.Path, s *state) {
	if w.told.stroke != s.colour {
		w.colour(s.colour, "RG\n")
		w.told.stroke = s.colour
	}
	k := s.matrix.scale() * gridsPerPoint
	if width := max(1, math.Round(float64(s.width)*k*10)/10); width != w.told.width {
		w.content = append(appendNumber(w.content, width, 1), " w\n"...)
		w.told.width = width
	}
	if w.told.offset != s.offset || !slices.Equal(w.told.dash, s.dash) {
		w.dash(s, k)
	}
	w.shape(p, s.matrix)
	w.content = append(w.content, "S\n"...)
}

func (w *pathWriter) colour(c color.NRGBA, operator string) {
	for _, v := range []uint8{c.R, c.G, c.B} {
		w.content = append(appendNumber(w.content, float64(v)/255, 3), ' ')
	}
	w.content = append(w.content, operator...)
}

func (w *pathWriter) dash(s *state, k float64) {
	w.content = append(w.content, '[')
	for _, v := range s.dash {
		w.content = append(appendNumber(w.content, max(0.1, float64(v)*k), 1), ' ')
	}
	w.content = append(w.content, "] "...)
	w.operator("d", grid(float64(s.offset)*k))
	w.told.dash, w.told.offset = slices.Clone(s.dash), s.offset
}

// shape moves to the origin of a path and writes the path from there.
func (w *pathWriter) shape(p vg.Path, m affine) {
	x, y := m.apply(p[0].Pos)
	if at := [2]int{grid(x * gridsPerPoint), grid(y * gridsPerPoint)}; at != w.at {
		w.operator("cm", 1, 0, 0, 1, at[0]-w.at[0], at[1]-w.at[1])
		w.at = at
	}
	m[4], m[5] = m[4]-x, m[5]-y
	for i := range m {
		m[i] *= gridsPerPoint
	}
	for i := range p {
		w.component(p, i, m)
	}
}

func (w *pathWriter) component(p vg.Path, i int, m affine) {
	k := p[i]
	switch k.Type {
	case vg.MoveComp:
		w.points("m", m, k.Pos)
	case vg.LineComp:
		w.points("l", m, k.Pos)
	case vg.CurveComp:
		w.curve(k, m, end(p[i-1]))
	case vg.ArcComp:
		w.arc(k, m, i > 0)
	default:
		w.content = append(w.content, "h\n"...)
	}
}

// end is where a component leaves the pen.
func end(k vg.PathComp) vg.Point {
	if k.Type != vg.ArcComp {
		return k.Pos
	}
	sin, cos := math.Sincos(k.Start + k.Angle)
	return k.Pos.Add(vg.Point{X: k.Radius * vg.Length(cos), Y: k.Radius * vg.Length(sin)})
}

// curve writes a Bézier of two control points, or of one, which PDF lacks: the same curve is the cubic whose
// control points lie two thirds of the way from the ends to the one.
func (w *pathWriter) curve(k vg.PathComp, m affine, from vg.Point) {
	first, second := k.Control[0], k.Control[len(k.Control)-1]
	if len(k.Control) == 1 {
		first = from.Add(first.Sub(from).Scale(2. / 3))
		second = k.Pos.Add(second.Sub(k.Pos).Scale(2. / 3))
	}
	w.points("c", m, first, second, k.Pos)
}

// arc writes an arc as Béziers of at most a quarter turn. The control points lie at 4/3·tan(δ/4) radii along
// the tangents (Riškus, Information Technology and Control 35 (2006) 371): the radius is then right within
// 3 parts in 10 000.
func (w *pathWriter) arc(k vg.PathComp, m affine, joined bool) {
	at := func(angle, tangent float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return k.Pos.Add(vg.Point{X: vg.Length(cos - tangent*sin), Y: vg.Length(sin + tangent*cos)}.Scale(k.Radius))
	}
	begin := "m"
	if joined {
		begin = "l"
	}
	w.points(begin, m, at(k.Start, 0))
	pieces := math.Ceil(math.Abs(k.Angle)/(math.Pi/2) - 1e-9)
	step := k.Angle / max(pieces, 1)
	tangent := 4. / 3 * math.Tan(step/4)
	for i := range int(pieces) {
		from := k.Start + float64(i)*step
		w.points("c", m, at(from, tangent), at(from+step, -tangent), at(from+step, 0))
	}
}

// points writes an operator whose operands are points.
func (w *pathWriter) points(operator string, m affine, points ...vg.Point) {
	var operands [6]int
	for i, p := range points {
		x, y := m.apply(p)
		operands[2*i], operands[2*i+1] = grid(x), grid(y)
	}
	w.operator(operator, operands[:2*len(points)]...)
}

func (w *pathWriter) operator(name string, operands ...int) {
	for _, v := range operands {
		w.content = append(strconv.AppendInt(w.content, int64(v), 10), ' ')
	}
	w.content = append(append(w.content, name...), '\n')
}

// grid is the nearest whole number; halves go away from zero even where they were computed a little short, so that
// equal marks come out equal wherever they stand.
func grid(v float64) int { return int(math.Round(v + math.Copysign(nearHalf, v))) }

// nearHalf is more than what coordinates on a page lose in computing, in units of the grid.
const nearHalf = 1e-6

// appendNumber writes v with at most so many decimals, without zeros that may be left out and without "-0".
func appendNumber(b []byte, v float64, decimals int) []byte {
	start := len(b)
	b = strconv.AppendFloat(b, v, 'f', decimals, 64)
	if decimals > 0 {
		b = bytes.TrimRight(bytes.TrimRight(b, "0"), ".")
	}
	switch s := string(b[start:]); {
	case s == "-0":
		return append(b[:start], '0')
	case strings.HasPrefix(s, "0."):
		return append(b[:start], s[1:]...)
	case strings.HasPrefix(s, "-0."):
		return append(append(b[:start], '-'), s[2:]...)
	}
	return b
}
