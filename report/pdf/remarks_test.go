package pdf

import (
	"strings"
	"testing"

	"ohmledger/report/figure"
)

// A remark stands once with all its days, others beside it, in the section of its cell alone.
func TestRemarksAreQuoted(t *testing.T) {
	d := specimen(t, 2, 3)
	of := d.Assessment.Cells.At(0).Measurements
	of[0].Row.Remarks, of[1].Row.Remarks, of[2].Row.Remarks = "can warm_{x} to the touch.", "clip loose", "can warm_{x} to the touch"
	c := compositionOf(t, d)
	day := func(i int) string { return c.numbers.Date(of[i].Row.MeasuredAt) }
	want := "Remarks on the measurements. " + day(0) + ", " + day(2) + ": can warm_{x} to the touch; " + day(1) + ": clip loose."
	all := strings.Join(pagesOf(t, bytesOf(t, Options{}, d)), " ")
	if n := strings.Count(all, want); n != 1 {
		t.Errorf("%q stands %d times", want, n)
	}
	if n := strings.Count(all, "Remarks on the measurements."); n != 1 {
		t.Errorf("%d cells have remarks", n)
	}
}

// Tall figures give way where that spares a page of which little would be used, and only there.
func TestFiguresGiveWay(t *testing.T) {
	for _, k := range []struct {
		over  float64 // mm that do not fit on the page
		pages int
		give  float64
	}{{-1, 1, 0}, {3, 1, 4}, {11, 1, 12}, {13, 1, 18}, {19, 2, 0}, {200, 2, 0}} {
		c := compositionOf(t, specimen(t, 1, 1))
		c.flow = newFlow(c.provider, c.room)
		c.snugly(func() {
			c.add(empty(c.lower(figure.Figure{Height: 70}).Height))
			c.add(empty(c.room - 70))
			c.add(empty(max(k.over, 0)))
		})
		if got := 70 - c.pages[0][0].GetHeight(c.provider, &c.area); len(c.pages) != k.pages || got != k.give {
			t.Errorf("%v mm over: %d pages, %v mm lower; want %d, %v", k.over, len(c.pages), got, k.pages, k.give)
		}
	}
}
