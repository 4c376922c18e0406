package pdf

import (
	"strconv"
	"strings"
	"testing"
)

// By hand: the most usual first, those that are alike in number in the order of their text; grey has three equal amounts.
func TestColoursInPlaces(t *testing.T) {
	c := newColours(map[string]int{"1": 3, ".5 0 1": 7, "0 .2 .4": 3})
	if got, want := c.entry(), "/c[/Indexed/DeviceRGB 2<8000ff003366ffffff>]\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	for told, want := range map[string]string{"1 G": "2 SC", ".5 0 1 RG": "0 SC"} {
		if got := c.said(strokeSlot, told); got != want {
			t.Errorf("%s: %q, want %q", told, got, want)
		}
	}
	if got := c.said(fillSlot, "0 .2 .4 rg") + c.said(widthSlot, "3 w"); got != "1 sc3 w" {
		t.Errorf("got %q", got)
	}
}

// A document of more colours than a list holds tells them by their amounts.
func TestTooManyColours(t *testing.T) {
	used := map[string]int{}
	for i := range mostColours + 1 {
		used["0 0 ."+strconv.Itoa(100+i)] = 1
	}
	c := newColours(used)
	if got := c.begin() + c.said(fillSlot, "1 0 0 rg") + c.entry(); c != nil || got != "1 0 0 rg" {
		t.Errorf("got %q", got)
	}
	delete(used, "0 0 .100")
	if c := newColours(used); c == nil || !strings.HasPrefix(c.begin(), "/c cs") {
		t.Errorf("a list of %d is not made", len(used))
	}
}
