package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// sideLabels writes texts beside the right edge of a frame, each as near to its height as the others let it.
type sideLabels struct {
	style draw.TextStyle
	area  draw.Canvas
	width vg.Length
	list  []sideLabel
}

type sideLabel struct {
	y    vg.Length
	text string
}

// add notes a text for a height. One that lies outside the frame gets an arrow towards where it would be.
func (s *sideLabels) add(y vg.Length, text string) {
	switch {
	case y > s.area.Max.Y+0.1:
		y, text = s.area.Max.Y, "↑ "+text
	case y < s.area.Min.Y-0.1:
		y, text = s.area.Min.Y, "↓ "+text
	}
	s.list = append(s.list, sideLabel{y, text})
}

// write puts the texts down from the top, and moves them apart where they are too near.
func (s *sideLabels) write() {
	slices.SortStableFunc(s.list, func(a, b sideLabel) int {
		switch {
		case a.y > b.y:
			return -1
		case a.y < b.y:
			return 1
		}
		return 0
	})
	pitch := s.style.Font.Size * 1.15
	for i := range s.list { // neighbours that are too near each give way by half
		if i > 0 {
			if lack := pitch - (s.list[i-1].y - s.list[i].y); lack > 0 {
				s.list[i-1].y += lack / 2
				s.list[i].y -= lack / 2
			}
		}
	}
	for _, label := range s.list {
		place(&s.area, s.style, vg.Point{X: s.area.Max.X + 4, Y: label.y}, shortened(s.style, label.text, s.width))
	}
}

// innerLabels writes texts into a frame, just above or below a line, at the end where they hide least.
type innerLabels struct {
	style draw.TextStyle
	area  draw.Canvas
	avoid []vg.Point
}

// write labels the line at a height. A line outside the frame gets an arrow towards where it would be.
func (l *innerLabels) write(y vg.Length, text string) {
	const gap = vg.Length(2)
	tall := l.style.Font.Size * digitHeight
	size := vg.Point{X: l.style.Width(text), Y: tall}
	heights := []vg.Length{y + gap, y - gap - tall}
	switch {
	case y > l.area.Max.Y+0.1:
		text, heights = "↑ "+text, []vg.Length{l.area.Max.Y - gap - tall}
	case y < l.area.Min.Y-0.1:
		text, heights = "↓ "+text, []vg.Length{l.area.Min.Y + gap}
	}
	var best vg.Rectangle
	least := math.Inf(1)
	for _, foot := range heights {
		for _, left := range []vg.Length{l.area.Min.X + 3, l.area.Max.X - 3 - size.X, l.area.Center().X - size.X/2} {
			low := vg.Point{X: left, Y: foot}
			box := vg.Rectangle{Min: low, Max: low.Add(size)}
			if cost := hidden(box, l.avoid); within(box, l.area.Rectangle) && cost < least {
				best, least = box, cost
			}
		}
	}
	if math.IsInf(least, 1) {
		return
	}
	style := l.style
	style.XAlign = draw.XLeft
	place(&l.area, style, vg.Point{X: best.Min.X, Y: centreOf(best).Y}, text)
	l.avoid = append(l.avoid, best.Min, best.Max, centreOf(best))
}

// hidden is how many points a box and its near surroundings hold.
func hidden(box vg.Rectangle, points []vg.Point) (count float64) {
	edge := vg.Point{X: 2, Y: 2}
	for _, p := range points {
		if inside(p, vg.Rectangle{Min: box.Min.Sub(edge), Max: box.Max.Add(edge)}) {
			count++
		}
	}
	return count
}
