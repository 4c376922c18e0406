package pdf

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// colours are those of a document's pages, the most usual first. Pages say them by their places in the list, which is a space of
// colours that they share (ISO 32000-1:2008, 8.6.6.3); as fpdf's, each has 256 steps of red, green and blue.
type colours struct {
	list  []string // amounts from 0 to 1: one of grey, or three
	place map[string]int
}

const (
	mostColours = 256
	colourSpace = "/c" // its name in the resources
)

// newColours lists colours by how often they are used; nil where there are too many for a list.
func newColours(used map[string]int) *colours {
	if len(used) > mostColours {
		return nil
	}
	c := &colours{place: map[string]int{}}
	for amounts := range used {
		c.list = append(c.list, amounts)
	}
	slices.SortFunc(c.list, func(a, b string) int { return cmp.Or(cmp.Compare(used[b], used[a]), cmp.Compare(a, b)) })
	for i, amounts := range c.list {
		c.place[amounts] = i
	}
	return c
}

// amountsOf are those of a colour as the graphics state has it, without its operator.
func amountsOf(told string) string { return told[:max(0, strings.LastIndexByte(told, ' '))] }

// said is what tells a slot of the graphics state a value; a colour is told by its place in the list where there is one.
func (c *colours) said(slot int, told string) string {
	if c == nil || slot != fillSlot && slot != strokeSlot {
		return told
	}
	return strconv.Itoa(c.place[amountsOf(told)]) + [...]string{fillSlot: " sc", strokeSlot: " SC"}[slot]
}

// begin is what a page says before the first colour.
func (c *colours) begin() string {
	if c == nil {
		return ""
	}
	return colourSpace + " cs" + colourSpace + " CS "
}

// entry is the list in the resources of the pages.
func (c *colours) entry() string {
	if c == nil || len(c.list) == 0 {
		return ""
	}
	var steps []byte
	for _, amounts := range c.list {
		rgb := strings.Fields(amounts)
		for i := range 3 {
			v, _ := strconv.ParseFloat(rgb[i%len(rgb)], 64) // fpdf writes numbers
			steps = append(steps, byte(math.Round(v*255)))
		}
	}
	return fmt.Sprintf("%s[/Indexed/DeviceRGB %d<%x>]\n", colourSpace, len(c.list)-1, steps)
}
