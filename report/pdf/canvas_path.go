package pdf

import (
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"
)

// affine maps x, y to a·x + c·y + e, b·x + d·y + f, in the order of ISO 32000-1:2008, 8.3.3.
type affine [6]float64

func (m affine) apply(p vg.Point) (x, y float64) {
	return m[0]*float64(p.X) + m[2]*float64(p.Y) + m[4], m[1]*float64(p.X) + m[3]*float64(p.Y) + m[5]
}

// after is m applied to what t gives.
func (m affine) after(t affine) affine {
	return affine{
		m[0]*t[0] + m[2]*t[1], m[1]*t[0] + m[3]*t[1],
		m[0]*t[2] + m[2]*t[3], m[1]*t[2] + m[3]*t[3],
		m[0]*t[4] + m[2]*t[5] + m[4], m[1]*t[4] + m[3]*t[5] + m[5],
	}
}

func (m affine) scale() float64 { return math.Sqrt(math.Abs(m[0]*m[3] - m[1]*m[2])) }
func (m affine) angle() float64 { return math.Atan2(m[1], m[0]) }

// content gives the path operators of ISO 32000-1:2008, 8.5, coordinates in points to two decimals. A
// closed path is written from its first point as origin: glyphs of one shape then differ in their place
// only, which the page's compression turns into a few bytes each.
func content(p vg.Path, m affine, paint string) string {
	b := make([]byte, 0, 16*len(p)+32)
	closed := p[0].Type == vg.MoveComp && p[len(p)-1].Type == vg.CloseComp
	if closed {
		x, y := m.apply(p[0].Pos)
		b = appendOperator(append(b, "q 1 0 0 1 "...), "cm", x, y)
		m[4], m[5] = m[4]-x, m[5]-y
	}
	for i := range p {
		b = appendComponent(b, p, i, m)
	}
	b = append(b, paint...)
	if closed {
		b = append(b, " Q"...)
	}
	return string(b)
}

func appendComponent(b []byte, p vg.Path, i int, m affine) []byte {
	k := p[i]
	x, y := m.apply(k.Pos)
	switch k.Type {
	case vg.MoveComp:
		return appendOperator(b, "m", x, y)
	case vg.LineComp:
		return appendOperator(b, "l", x, y)
	case vg.CurveComp:
		return appendCurve(b, k, m, end(p[i-1]))
	case vg.ArcComp:
		return appendArc(b, k, m, i > 0)
	default:
		return append(b, "h\n"...)
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

// appendCurve writes a Bézier of two control points, or of one, which PDF lacks: the same curve is the
// cubic whose control points lie two thirds of the way from the ends to the one.
func appendCurve(b []byte, k vg.PathComp, m affine, from vg.Point) []byte {
	first, second := k.Control[0], k.Control[len(k.Control)-1]
	if len(k.Control) == 1 {
		first = from.Add(first.Sub(from).Scale(2. / 3))
		second = k.Pos.Add(second.Sub(k.Pos).Scale(2. / 3))
	}
	x1, y1 := m.apply(first)
	x2, y2 := m.apply(second)
	x, y := m.apply(k.Pos)
	return appendOperator(b, "c", x1, y1, x2, y2, x, y)
}

// appendArc writes an arc as Béziers of at most a quarter turn. The control points lie at 4/3·tan(δ/4)
// radii along the tangents (Riškus, Information Technology and Control 35 (2006) 371): the radius is
// then right within 3 parts in 10 000.
func appendArc(b []byte, k vg.PathComp, m affine, joined bool) []byte {
	at := func(angle, tangent float64) (x, y float64) {
		sin, cos := math.Sincos(angle)
		r := float64(k.Radius)
		return m.apply(vg.Point{
			X: k.Pos.X + vg.Length(r*(cos-tangent*sin)),
			Y: k.Pos.Y + vg.Length(r*(sin+tangent*cos)),
		})
	}
	x, y := at(k.Start, 0)
	if joined {
		b = appendOperator(b, "l", x, y)
	} else {
		b = appendOperator(b, "m", x, y)
	}
	pieces := math.Ceil(math.Abs(k.Angle)/(math.Pi/2) - 1e-9)
	step := k.Angle / max(pieces, 1)
	tangent := 4. / 3 * math.Tan(step/4)
	for i := range int(pieces) {
		from := k.Start + float64(i)*step
		x1, y1 := at(from, tangent)
		x2, y2 := at(from+step, -tangent)
		x3, y3 := at(from+step, 0)
		b = appendOperator(b, "c", x1, y1, x2, y2, x3, y3)
	}
	return b
}

func appendOperator(b []byte, operator string, operands ...float64) []byte {
	for _, v := range operands {
		b = append(appendNumber(b, v, 2), ' ')
	}
	return append(append(b, operator...), '\n')
}

// appendNumber writes v with at most so many decimals, without trailing zeros and without "-0".
func appendNumber(b []byte, v float64, decimals int) []byte {
	start := len(b)
	b = strconv.AppendFloat(b, v, 'f', decimals, 64)
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	if string(b[start:]) == "-0" {
		return append(b[:start], '0')
	}
	return b
}
