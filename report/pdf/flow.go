package pdf

import (
	"math"
	"slices"

	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
)

// flow fills pages with rows from top to bottom.
type flow struct {
	provider *provider
	area     entity.Cell // between the margins
	room     float64     // mm for rows on a page, between running head and foot

	pages  [][]core.Row
	used   float64    // mm on the last page
	fresh  bool       // nothing but a repeated head stands on the last page
	gap    float64    // mm wanted before the next rows, unless a page begins there
	held   group      // a heading that waits for what it heads
	repeat []core.Row // the head of the table that is being set
}

// group is rows that stay on one page, and the room wanted above them.
type group struct {
	gap  float64 // mm
	rows []core.Row
}

func newFlow(p *provider, room float64) *flow {
	area := entity.NewRootCell(p.config.Dimensions.Width, p.config.Dimensions.Height, *p.config.Margins)
	return &flow{provider: p, room: room, area: area}
}

// height of rows, in mm.
func (f *flow) height(rows ...core.Row) (sum float64) {
	for _, r := range rows {
		r.SetConfig(f.provider.config)
		sum += r.GetHeight(f.provider, &f.area)
	}
	return sum
}

// space asks for room before what comes next; the larger of two wishes holds.
func (f *flow) space(mm float64) { f.gap = max(f.gap, mm) }

// hold keeps rows for the top of whatever is added next.
func (f *flow) hold(rows ...core.Row) { f.held = f.gathered(rows) }

// gathered is what is held and what follows it.
func (f *flow) gathered(rows []core.Row) group {
	g := f.held
	switch {
	case len(g.rows) == 0:
		g.gap = f.gap
	case f.gap > 0:
		g.rows = append(g.rows, row.New(f.gap))
	}
	g.rows = append(g.rows, rows...)
	f.gap, f.held = 0, group{}
	return g
}

// add sets rows that belong together on one page: the present one, or else the next. Rows that no page
// can hold together are set one by one.
func (f *flow) add(rows ...core.Row) {
	g := f.gathered(rows)
	if len(f.pages) == 0 || !f.fits(g) && !f.fresh {
		f.breakPage()
	}
	if f.fresh {
		g.gap, f.fresh = 0, false
	}
	if !f.fits(g) && len(g.rows) > 1 {
		f.addEach(g.rows)
		return
	}
	if g.gap > 0 {
		f.put(row.New(g.gap))
	}
	f.put(g.rows...)
}

// addEach sets rows that may stand on different pages.
func (f *flow) addEach(rows []core.Row) {
	for _, r := range rows {
		f.add(r)
	}
}

// fits allows for a hair that sums of heights may be off.
func (f *flow) fits(g group) bool {
	return f.used+g.gap+f.height(g.rows...) <= f.room+roundingMargin
}

// breakPage begins a page, with the head of the table that is being set.
func (f *flow) breakPage() {
	f.pages = append(f.pages, nil)
	f.used, f.fresh = 0, true
	f.put(f.repeat...)
}

// startPage makes what comes next begin a page, unless one has just begun.
func (f *flow) startPage() {
	if !f.fresh {
		f.breakPage()
	}
}

// put sets rows on the last page.
func (f *flow) put(rows ...core.Row) {
	last := len(f.pages) - 1
	f.pages[last] = append(f.pages[last], rows...)
	f.used += f.height(rows...)
}

// fill sets parts of a report in their order, except that one which fits on the page goes before those that
// do not.
func (c *composition) fill(parts ...func()) {
	heights := make([]float64, len(parts))
	for i, part := range parts {
		heights[i] = c.heightOf(part)
	}
	for len(parts) > 0 {
		next := max(0, slices.IndexFunc(heights, func(h float64) bool { return h <= c.left() }))
		parts[next]()
		parts, heights = slices.Delete(parts, next, next+1), slices.Delete(heights, next, next+1)
	}
}

// gives are how many mm the tall figures give way in turn, where a part of the report would spill over.
var gives = [...]float64{4, 8, 12, 18}

// snugly sets a part of the report; where little of it spills onto a last page of its own, its tall figures give way if
// that spares the page.
func (c *composition) snugly(part func()) {
	const little = 0.45 // of a page
	before := c.flow.copied()
	part()
	whole := c.flow
	if len(whole.pages) <= len(before.pages)+1 && len(before.pages) > 0 || whole.used > little*whole.room {
		return
	}
	for _, c.give = range gives {
		c.flow = before.copied()
		if part(); len(c.pages) < len(whole.pages) {
			c.give = 0
			return
		}
	}
	c.flow, c.give = whole, 0
}

// copied is a flow that goes on from here by itself.
func (f *flow) copied() *flow {
	g := *f
	g.pages = slices.Clone(f.pages)
	if last := len(g.pages) - 1; last >= 0 {
		g.pages[last] = slices.Clone(g.pages[last])
	}
	g.held.rows = slices.Clone(f.held.rows)
	return &g
}

// heightOf is what a part of the report takes where a page has room for all of it, in mm.
func (c *composition) heightOf(part func()) float64 {
	outer := c.flow
	defer func() { c.flow = outer }()
	c.flow = newFlow(outer.provider, math.Inf(1))
	c.breakPage()
	c.fresh = false
	part()
	return c.used
}

// left is the room that the last page still has, in mm.
func (f *flow) left() float64 { return f.room - f.used }
