package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// pointer is a text that belongs to a point, written near it at the end of a line.
type pointer struct {
	at      vg.Point
	toward  float64 // radian, the direction in which the text should lie
	text    string
	colour  color.Color
	circled vg.Length // radius of the ring about the point
}

// leaders writes pointers into an area so that no text covers a mark, a line or another text.
type leaders struct {
	area    vg.Rectangle
	style   draw.TextStyle
	avoid   []vg.Point // what should stay visible
	written []spot
}

// spot is where a pointer's text would stand: its box, and the line to it.
type spot struct {
	box        vg.Rectangle
	start, end vg.Point
}

// write puts a pointer where it disturbs least, or leaves it out where every place would hide something.
func (l *leaders) write(c *draw.Canvas, p pointer) {
	best, found := l.find(p)
	if !found {
		return
	}
	l.written = append(l.written, best)
	line := draw.LineStyle{Color: p.colour, Width: 0.5}
	c.StrokeLine2(line, best.start.X, best.start.Y, best.end.X, best.end.Y)
	c.SetLineStyle(line)
	c.Stroke(disc.path(p.at, p.circled))
	style := l.style
	style.XAlign = draw.XCenter
	place(c, style, centreOf(best.box), p.text)
}

// acceptable is the largest disturbance that a text may cause, in the measure of disturbance.
const acceptable = 30

// find tries lines of growing length in all directions; a long line and a turned one count as disturbance too.
func (l *leaders) find(p pointer) (best spot, found bool) {
	const directions = 32
	least := float64(acceptable)
	near, half := l.near(p), l.halfBox(p)
	for _, reach := range []float64{5, 8, 12, 17, 23, 30} {
		for i := range directions {
			turn := 2 * math.Pi * float64(i) / directions
			cost := reach*0.5 + 5*(1-math.Cos(turn))
			if cost >= least {
				continue
			}
			s := newSpot(p, half, reach, p.toward+turn)
			if cost += disturbance(s, near, least-cost); cost < least && l.free(s) {
				best, least, found = s, cost, true
			}
		}
	}
	return best, found
}

// near are the points to avoid that the text of a pointer could reach.
func (l *leaders) near(p pointer) []vg.Point {
	const longest = 30
	reach := longest + p.circled + l.style.Width(p.text) + l.style.Font.Size*2
	var list []vg.Point
	for _, a := range l.avoid {
		if inside(a, vg.Rectangle{Min: p.at.Sub(vg.Point{X: reach, Y: reach}), Max: p.at.Add(vg.Point{X: reach, Y: reach})}) {
			list = append(list, a)
		}
	}
	return list
}

// halfBox is half the size of a pointer's text.
func (l *leaders) halfBox(p pointer) vg.Point {
	return vg.Point{X: l.style.Width(p.text)/2 + 1, Y: l.style.Font.Size*digitHeight/2 + 1.5}
}

// newSpot is the place at the end of a line of a length in a direction, for a text of half a box.
func newSpot(p pointer, half vg.Point, reach, direction float64) spot {
	way := corner(1, direction)
	start := p.at.Add(way.Scale(p.circled))
	end := start.Add(way.Scale(vg.Length(reach)))
	centre := end.Add(way.Scale(boxRadius(half, way)))
	return spot{vg.Rectangle{Min: centre.Sub(half), Max: centre.Add(half)}, start, end}
}

// boxRadius is the distance from a box's centre to its edge along a direction.
func boxRadius(half, way vg.Point) vg.Length {
	x, y := math.Inf(1), math.Inf(1)
	if way.X != 0 {
		x = math.Abs(float64(half.X / way.X))
	}
	if way.Y != 0 {
		y = math.Abs(float64(half.Y / way.Y))
	}
	return vg.Length(min(x, y))
}

// free reports whether a place lies within the area and crosses no pointer that stands already.
func (l *leaders) free(s spot) bool {
	if !within(s.box, l.area) {
		return false
	}
	for _, w := range l.written {
		if overlap(s.box, w.box) || crossing(s, w) || touches(s, w.box) || touches(w, s.box) {
			return false
		}
	}
	return true
}

// disturbance counts what a text would cover and what its line would cross, up to a limit.
func disturbance(s spot, near []vg.Point, limit float64) float64 {
	cost := 0.
	grown := vg.Rectangle{Min: s.box.Min.Sub(vg.Point{X: 1, Y: 1}), Max: s.box.Max.Add(vg.Point{X: 1, Y: 1})}
	for _, p := range near {
		switch {
		case inside(p, grown):
			cost += 12
		case nearSegment(p, s.start, s.end, 1.2):
			cost += 1.5
		}
		if cost >= limit {
			break
		}
	}
	return cost
}

func centreOf(r vg.Rectangle) vg.Point { return r.Min.Add(r.Max).Scale(0.5) }

func inside(p vg.Point, r vg.Rectangle) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

func within(r, outer vg.Rectangle) bool { return inside(r.Min, outer) && inside(r.Max, outer) }

func overlap(a, b vg.Rectangle) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// nearSegment reports whether a point lies nearer than a distance to the line between two others.
func nearSegment(p, a, b vg.Point, distance vg.Length) bool {
	along, off := b.Sub(a), p.Sub(a)
	if length := along.Dot(along); length > 0 {
		off = off.Sub(along.Scale(min(max(off.Dot(along)/length, 0), 1)))
	}
	return off.Dot(off) < distance*distance
}

// crossing reports whether the lines of two spots cross.
func crossing(s, w spot) bool {
	side := func(a, b, p vg.Point) bool { return (b.X-a.X)*(p.Y-a.Y) > (b.Y-a.Y)*(p.X-a.X) }
	return side(s.start, s.end, w.start) != side(s.start, s.end, w.end) &&
		side(w.start, w.end, s.start) != side(w.start, w.end, s.end)
}

// touches reports whether the line of a spot runs through a box.
func touches(s spot, box vg.Rectangle) bool {
	const pieces = 12
	for i := range pieces + 1 {
		if inside(s.start.Add(s.end.Sub(s.start).Scale(vg.Length(i)/pieces)), box) {
			return true
		}
	}
	return false
}
