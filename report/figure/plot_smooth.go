package figure

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// smooth draws a line without corners through points of it, cut at the frame.
type smooth struct {
	draw.LineStyle
	points plotter.XYs
}

// Plot implements plot.Plotter.
func (s smooth) Plot(c draw.Canvas, p *plot.Plot) { s.along(c, p, finest) }

// along draws the line within so many points of where it belongs.
func (s smooth) along(c draw.Canvas, p *plot.Plot, within vg.Length) {
	c.SetLineStyle(s.LineStyle)
	for _, piece := range c.ClipLinesXY(toCanvas(c, p, s.points)) {
		if piece = distinct(piece); len(piece) > 1 {
			c.Stroke(smoothPath(piece, within))
		}
	}
}

// background is a line that only shows the course of others: it may lie beside its place by its own width.
type background struct{ smooth }

// Plot implements plot.Plotter.
func (b background) Plot(c draw.Canvas, p *plot.Plot) { b.along(c, p, b.Width) }

// distinct leaves out points that repeat the one before.
func distinct(points []vg.Point) []vg.Point {
	var list []vg.Point
	for i, p := range points {
		if i == 0 || p != points[i-1] {
			list = append(list, p)
		}
	}
	return list
}

// smoothPath is a path of cubic Béziers through the first and last point and within a distance of the others.
func smoothPath(points []vg.Point, within vg.Length) vg.Path {
	last := len(points) - 1
	second, third := points[min(1, last)], points[min(2, last)]
	before, twoBefore := points[last-1], points[max(last-2, 0)]
	var path vg.Path
	path.Move(points[0])
	for _, b := range fitBeziers(points, leaving(points[0], second, third), leaving(points[last], before, twoBefore), within) {
		path.CubeTo(b[1], b[2], b[3])
	}
	return path
}

// bezier is a cubic by its four control points.
type bezier [4]vg.Point

// fitBeziers fits cubics to points from the first on, each along as many of them as it comes near enough to.
func fitBeziers(points []vg.Point, from, to vg.Point, within vg.Length) (list []bezier) {
	for len(points) > 1 {
		b, reached := longestBezier(points, from, to, within)
		if reached < len(points)-1 {
			from = passing(points[reached-1], points[reached], points[reached+1])
		}
		list, points = append(list, b), points[reached:]
	}
	return list
}

// longestBezier looks for the cubic that follows the most of the points from the first on, and gives the last that it
// follows. The steps double until one fails, and then halve.
func longestBezier(points []vg.Point, from, to vg.Point, within vg.Length) (best bezier, reached int) {
	last := len(points) - 1
	try := min(usualReach, last)
	for good, bad := 0, last+1; ; {
		end := to
		if try < last {
			end = passing(points[try+1], points[try], points[try-1])
		}
		if b, ok := fitBezier(points[:try+1], from, end, within); ok {
			good, best, reached = try, b, try
		} else {
			bad = try
		}
		if try = min(2*good, last); good == 0 || try >= bad {
			try = (good + bad) / 2
		}
		if bad-good <= 1 {
			return best, reached
		}
	}
}

// usualReach is about how many points of a fitted curve a cubic follows.
const usualReach = 12

// fitBezier fits one cubic to points by Schneider's method ("An Algorithm for Automatically Fitting Digitized
// Curves", Graphics Gems, 1990): by least squares, its ends and their directions given. It is not ok where it strays.
func fitBezier(points []vg.Point, from, to vg.Point, within vg.Length) (b bezier, ok bool) {
	const rounds = 4 // of improving where along the cubic the points belong
	if len(points) == 2 {
		third := distance(points[0], points[1]) / 3
		return bezier{points[0], points[0].Add(from.Scale(third)), points[1].Add(to.Scale(third)), points[1]}, true
	}
	t := alongChords(points)
	for range rounds {
		b = leastSquares(points, t, from, to)
		if b.farthest(points, t) <= within {
			return b, true
		}
		for i, p := range points {
			t[i] = b.nearer(p, t[i])
		}
	}
	return b, false
}

// leaving is the direction, of length 1, in which the parabola through three points leaves the first. The third
// may repeat the second.
func leaving(a, b, c vg.Point) vg.Point {
	first, turn, _ := divided(a, b, c)
	return unit(first.Sub(turn.Scale(distance(a, b))))
}

// passing is the direction, of length 1, in which the parabola through three points passes the second.
func passing(a, b, c vg.Point) vg.Point {
	first, turn, whole := divided(a, b, c)
	d := first.Add(turn.Scale(distance(a, b)))
	if d.Dot(d) < 1e-6 { // a turn on the spot
		return unit(whole)
	}
	return unit(d)
}

// divided are the divided differences of three points along their chords, and the way from the first to the last.
func divided(a, b, c vg.Point) (first, second, whole vg.Point) {
	near, far := distance(a, b), distance(b, c)
	first = b.Sub(a).Scale(1 / max(near, 1e-9))
	if far > 0 {
		second = c.Sub(b).Scale(1 / far).Sub(first).Scale(1 / (near + far))
	}
	return first, second, c.Sub(a)
}

func unit(v vg.Point) vg.Point { return v.Scale(1 / max(distance(v, vg.Point{}), 1e-9)) }

// alongChords places points between 0 and 1 by the lengths of the chords between them.
func alongChords(points []vg.Point) []float64 {
	t := make([]float64, len(points))
	for i := 1; i < len(points); i++ {
		t[i] = t[i-1] + float64(distance(points[i-1], points[i]))
	}
	for i := range t {
		t[i] /= t[len(t)-1]
	}
	return t
}

// leastSquares is the cubic with given ends and directions there whose points at t are nearest to the given ones.
func leastSquares(points []vg.Point, t []float64, from, to vg.Point) bezier {
	first, last := points[0], points[len(points)-1]
	var c [2][2]float64
	var x [2]float64
	for i, p := range points {
		w := bernstein(t[i])
		a, b := from.Scale(vg.Length(w[1])), to.Scale(vg.Length(w[2]))
		rest := p.Sub(first.Scale(vg.Length(w[0] + w[1]))).Sub(last.Scale(vg.Length(w[2] + w[3])))
		c[0][0] += float64(a.Dot(a))
		c[0][1] += float64(a.Dot(b))
		c[1][1] += float64(b.Dot(b))
		x[0] += float64(a.Dot(rest))
		x[1] += float64(b.Dot(rest))
	}
	long := float64(distance(first, last))
	determinant := c[0][0]*c[1][1] - c[0][1]*c[0][1]
	l := (x[0]*c[1][1] - x[1]*c[0][1]) / determinant
	r := (c[0][0]*x[1] - c[0][1]*x[0]) / determinant
	if least := long * 1e-3; !(l > least && r > least && l < 3*long && r < 3*long) {
		l, r = long/3, long/3 // Wu and Barsky's lengths, where the points do not determine them
	}
	return bezier{first, first.Add(from.Scale(vg.Length(l))), last.Add(to.Scale(vg.Length(r))), last}
}

// bernstein are the weights of the four control points at t.
func bernstein(t float64) [4]float64 {
	u := 1 - t
	return [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}
}

func (b bezier) at(t float64) (p vg.Point) {
	for i, w := range bernstein(t) {
		p = p.Add(b[i].Scale(vg.Length(w)))
	}
	return p
}

// farthest is how far the cubic at t is from its point at most.
func (b bezier) farthest(points []vg.Point, t []float64) (off vg.Length) {
	for i := 1; i < len(points)-1; i++ {
		off = max(off, distance(b.at(t[i]), points[i]))
	}
	return off
}

// nearer improves by a step of Newton's where along the cubic a point is nearest.
func (b bezier) nearer(p vg.Point, t float64) float64 {
	off := b.at(t).Sub(p)
	first := slope(b[:], t)
	second := slope([]vg.Point{b[1].Sub(b[0]).Scale(3), b[2].Sub(b[1]).Scale(3), b[3].Sub(b[2]).Scale(3)}, t)
	down := float64(first.Dot(first) + off.Dot(second))
	if math.Abs(down) < 1e-12 {
		return t
	}
	return min(max(t-float64(off.Dot(first))/down, 0), 1)
}

// slope is the derivative of the Bézier of so many control points (de Casteljau).
func slope(control []vg.Point, t float64) vg.Point {
	line := make([]vg.Point, len(control))
	copy(line, control)
	for len(line) > 2 {
		for i := range len(line) - 1 {
			line[i] = line[i].Scale(vg.Length(1 - t)).Add(line[i+1].Scale(vg.Length(t)))
		}
		line = line[:len(line)-1]
	}
	return line[1].Sub(line[0]).Scale(vg.Length(len(control) - 1))
}
