package pdf

import (
	"strings"
	"testing"
)

// A line that was broken to a pillar's width is set on one line in its column, which has a width of the grid: a second one would lie
// over the line below.
func TestLinesOfPillarsFitTheirColumns(t *testing.T) {
	c := compositionOf(t, specimen(t, 1, 1))
	s := c.sheet.small
	props := s.props()
	lines := 0
	for i := range 200 {
		text := strings.Repeat("i", i%7) + strings.Repeat(" of the next 2 lay in the light band, "+strings.Repeat("i", i%5), 6)
		width := mm(55.33 + float64(i)*0.0037)
		for _, it := range c.brokenUp(pillar{width, []item{{text, s, 0}}}) {
			lines++
			if n := c.provider.GetLinesQuantity(it.text, &props, width.onGrid()-stackMargin); n != 1 {
				t.Fatalf("%q is set on %d lines of %v mm", it.text, n, width.onGrid())
			}
		}
	}
	if lines < 400 {
		t.Errorf("only %d lines", lines)
	}
}
