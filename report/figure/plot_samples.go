package figure

import "gonum.org/v1/plot/vg/draw"

// sampleOf draws a line with a mark on it, either of which may be left out.
func sampleOf(line *draw.LineStyle, m *mark) func(c *draw.Canvas) {
	return func(c *draw.Canvas) {
		middle := c.Center()
		if line != nil {
			c.StrokeLine2(*line, c.Min.X, middle.Y, c.Max.X, middle.Y)
		}
		if m != nil {
			m.draw(c, middle)
		}
	}
}

// sampleArea draws a piece of a band.
func sampleArea(b band) func(c *draw.Canvas) {
	return func(c *draw.Canvas) {
		area := c.Rectangle
		area.Min.Y, area.Max.Y = area.Min.Y+1.5, area.Max.Y-1.5
		fillArea(c, area, b.fill, b.hatched)
	}
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
