package report

import (
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/health"
	"ohmledger/health/job"
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

// guardBand is the area in which a value meets the limit but not by enough, and under the four-way rule
// the equal one beyond the limit (ILAC-G8:09/2019, 4.2.3). The growths' bands are even on a logarithm.
func guardBand(c health.Criterion, rule job.DecisionRuleKind) (low, high float64) {
	other := c.Limit
	if rule == job.FourWay {
		other = mirrored(c)
	}
	return min(c.AcceptanceLimit, other), max(c.AcceptanceLimit, other)
}

// mirrored is the acceptance limit mirrored at the limit.
func mirrored(c health.Criterion) float64 {
	if onLogarithm(c.Quantity) && c.AcceptanceLimit > 0 {
		return c.Limit / c.AcceptanceLimit * c.Limit
	}
	return 2*c.Limit - c.AcceptanceLimit
}

// onLogarithm reports whether a quantity is decided on its logarithm.
func onLogarithm(q job.Quantity) bool {
	switch q {
	case job.OhmicGrowth, job.ChargeTransferGrowth, job.TotalResistanceGrowth:
		return true
	}
	return false
}

// sampleBar draws a mark with a bar for its uncertainty.
func sampleBar(m mark) func(c *draw.Canvas) {
	return func(c *draw.Canvas) {
		at := c.Center()
		bar := draw.LineStyle{Color: m.colour, Width: 0.7}
		c.StrokeLine2(bar, at.X, at.Y-4, at.X, at.Y+4)
		c.StrokeLine2(bar, at.X-2, at.Y-4, at.X+2, at.Y-4)
		c.StrokeLine2(bar, at.X-2, at.Y+4, at.X+2, at.Y+4)
		m.draw(c, at)
	}
}

// sampleRing draws a mark in a ring.
func sampleRing(m, ring mark) func(c *draw.Canvas) {
	return func(c *draw.Canvas) {
		m.draw(c, c.Center())
		c.SetLineStyle(draw.LineStyle{Color: ring.colour, Width: axis})
		c.Stroke(ring.shape.path(c.Center(), ring.radius))
	}
}
