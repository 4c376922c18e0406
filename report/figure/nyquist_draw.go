package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/report/notation"
)

func (n *nyquist) draw(c draw.Canvas) {
	l := newLettering()
	if n.view.empty() {
		nothing(c, l, n.words.Say("figure.nyquist.none", nil))
		return
	}
	key := n.legend(l)
	width := c.Max.X - c.Min.X - vg.Length(axisWidth*pointsPerMM)
	upper := draw.Crop(c, 2, -2, key.height(width), -1)
	p := n.plot(l)
	x, y := n.inScale(n.view.x), n.inScale(n.view.y)
	equalise(p, upper, x, y, n.words.Notation())
	area := p.DataCanvas(upper)
	spare(&p.X, area.Size().X)
	spare(&p.Y, area.Size().Y)
	p.Draw(upper)
	n.labelDecades(p, area, l)
	key.draw(c, area.Min.X, width)
}

func (n *nyquist) inScale(e extent) extent { return extent{n.scale.In(e.low), n.scale.In(e.high)} }

// plot holds everything inside the frame.
func (n *nyquist) plot(l lettering) *plot.Plot {
	p := newPlot(l)
	p.X.Label.Text = "Z′ / " + n.scale.Symbol
	p.Y.Label.Text = notation.Minus + "Z″ / " + n.scale.Symbol
	p.Add(level{draw.LineStyle{Color: pale, Width: axis}, 0})
	for _, s := range n.faint {
		p.Add(n.faintLine(s))
	}
	for _, s := range n.refused {
		p.Add(marks{refusedMark, inNyquist(n.scale, s.impedance)})
	}
	for i, s := range n.ages {
		m := n.look(i)
		p.Add(smooth{draw.LineStyle{Color: m.colour, Width: stroke}, n.fits[i]},
			marks{m.opened(), n.points(s, false)}, marks{m, n.points(s, true)})
	}
	p.Add(frame{})
	return p
}

// faintLine is a spectrum's fit, or where there is none its points joined.
func (n *nyquist) faintLine(s drawnSpectrum) plot.Plotter {
	style := draw.LineStyle{Color: faintColour, Width: thin}
	if s.result == nil {
		return curve{style, inNyquist(n.scale, s.impedance)}
	}
	return background{smooth{style, n.lineOf(s, faintPoints, false)}}
}

// labelDecades writes the frequencies of whole decades at the spectra of the baseline and of the verdict.
func (n *nyquist) labelDecades(p *plot.Plot, area draw.Canvas, l lettering) {
	pen := leaders{
		area:  vg.Rectangle{Min: area.Min.Add(vg.Point{X: 2, Y: 2}), Max: area.Max.Sub(vg.Point{X: 2, Y: 2})},
		style: l.regular(smallSize-0.3, ink),
		avoid: n.drawnPlaces(p, area),
	}
	first, last := n.ringed()
	pen.writeAll(&area, n.decadePointers(p, area, last, true))
	if first != last {
		pen.writeAll(&area, n.decadePointers(p, area, first, false))
	}
}

// drawnPlaces are where marks and lines stand that no label should hide, each small square once.
func (n *nyquist) drawnPlaces(p *plot.Plot, area draw.Canvas) []vg.Point {
	const side = 1.5
	var places []vg.Point
	seen := map[[2]int]bool{}
	add := func(points plotter.XYs) {
		for _, at := range toCanvas(area, p, points) {
			if square := [2]int{int(at.X / side), int(at.Y / side)}; area.Contains(at) && !seen[square] {
				seen[square] = true
				places = append(places, at)
			}
		}
	}
	for _, s := range slices.Concat(n.ages, n.refused) {
		add(inNyquist(n.scale, s.impedance))
	}
	for _, line := range n.fits {
		add(line)
	}
	return places
}

// decadePointers point at a spectrum where its frequency is 1, 10, 100 … Hz, outward from the arc or inward.
func (n *nyquist) decadePointers(p *plot.Plot, area draw.Canvas, index int, outward bool) []pointer {
	s, m := n.ages[index], n.look(index)
	places := toCanvas(area, p, inNyquist(n.scale, s.impedance))
	if len(places) != len(s.impedance) {
		return nil
	}
	const ring, apart = 2.7, 8 // decades nearer to each other cannot be told apart
	var list []pointer
	for e := 9; e >= -6; e-- {
		z, i, found := s.at(notation.ScaleTen(1, e))
		at := toCanvas(area, p, inNyquist(n.scale, []complex128{z}))
		if !found || len(at) == 0 || !area.Contains(at[0]) || len(list) > 0 && distance(at[0], list[len(list)-1].at) < apart {
			continue
		}
		list = append(list, pointer{at[0], bearing(places, i, outward), n.frequencyLabel(notation.ScaleTen(1, e)), m.colour, ring})
	}
	return list
}

// bearing is the direction in which the label of a point should lie: square to the curve, away from the
// arc's middle or towards it.
func bearing(places []vg.Point, i int, outward bool) float64 {
	before, after := places[max(i-1, 0)], places[min(i+2, len(places)-1)]
	normal := vg.Point{X: before.Y - after.Y, Y: after.X - before.X}
	middle := emptyExtent()
	for _, p := range places {
		middle = middle.with(float64(p.X))
	}
	away := places[i].Sub(vg.Point{X: vg.Length((middle.low + middle.high) / 2), Y: places[0].Y})
	if (normal.Dot(away) < 0) == outward {
		normal = normal.Scale(-1)
	}
	return math.Atan2(float64(normal.Y), float64(normal.X))
}

func (n *nyquist) frequencyLabel(f float64) string {
	return n.words.Notation().Stated(f, notation.Hertz.Scale(fit.NewValue(f, 0)))
}

func (l *leaders) writeAll(c *draw.Canvas, pointers []pointer) {
	for _, p := range pointers {
		l.write(c, p)
	}
}
