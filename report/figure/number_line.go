package figure

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// numberLine is one criterion of one cell on a line: the value with its coverage interval, the limit, the
// guard band before it and, hatched, what lies beyond.
type numberLine struct {
	words     *report.Words
	criterion health.Criterion
	rule      job.DecisionRuleKind
	scale     notation.Scale
	shown     extent // in the quantity's unit
}

// NumberLine draws the i-th criterion of a cell. It carries neither the quantity's name nor the verdict, which
// the text around it states.
func NumberLine(d *report.Document, cell *health.Cell, i int) Figure {
	c := cell.Criteria[i]
	n := &numberLine{words: d.Words, criterion: c, rule: d.Assessment.Job.DecisionRule.Kind}
	n.scale = notation.UnitOf(c.Quantity).Scale(fit.NewValue(drawableOr0(c.Limit), 0))
	n.shown = n.extent()
	name := "line-" + strconv.Itoa(i+1) + "-" + string(c.Quantity)
	caption := n.words.Say("figure.line.caption", map[string]any{
		"Cell": cell.Name, "Quantity": n.words.Say("quantity."+string(c.Quantity), nil), "Known": n.known(), "Guard": guarded(c),
	})
	return Figure{Name: figureName(cell.Name, name), Caption: caption, Width: 110, Height: 12, Draw: n.draw}
}

func drawableOr0(v float64) float64 {
	if drawable(v) {
		return v
	}
	return 0
}

func (n *numberLine) known() bool {
	c := n.criterion
	return c.Value.Known() && drawable(c.Value.Estimate()) && (c.Unstated || drawable(c.Lower) && drawable(c.Upper))
}

// extent holds limit, guard band and coverage interval, with room at both ends.
func (n *numberLine) extent() extent {
	c := n.criterion
	e := emptyExtent().with(c.Limit)
	if guarded(c) {
		low, high := guardBand(c, n.rule)
		e = e.with(low, high)
	}
	if n.known() {
		e = e.with(c.Lower, c.Upper, c.Value.Estimate())
	}
	if e.empty() {
		return extent{0, 1}
	}
	least := 0.2 * math.Max(math.Abs(c.Limit), 1e-9) // a fifth of the limit, so that a narrow band stays narrow
	if lack := least - e.span(); lack > 0 && drawable(least) {
		e = extent{e.low - lack/2, e.high + lack/2}
	}
	return e.padded(0.16)
}

// Heights on the strip, in points from its foot.
const (
	stripFoot   = vg.Length(10.5) // of the line; tick labels stand below
	stripHeight = vg.Length(11)   // of the bands above the line
)

func (n *numberLine) draw(c draw.Canvas) {
	l := newLettering()
	if !drawable(n.criterion.Limit) {
		nothing(c, l, n.words.Say("figure.line.none", nil))
		return
	}
	strip := draw.Crop(c, 4, -4, stripFoot, 0)
	strip.Max.Y = min(strip.Min.Y+stripHeight, c.Max.Y)
	x := func(v float64) vg.Length {
		return min(max(strip.X((v-n.shown.low)/n.shown.span()), strip.Min.X), strip.Max.X)
	}
	n.drawBands(strip, x)
	n.drawTicks(strip, l, x)
	if n.known() && !n.criterion.Unstated {
		low, high := x(n.criterion.Lower), x(n.criterion.Upper)
		strip.StrokeLine2(draw.LineStyle{Color: paper, Width: 3.6}, low-1, strip.Center().Y, high+1, strip.Center().Y)
	}
	limit := x(n.criterion.Limit)
	strip.StrokeLine2(draw.LineStyle{Color: limitColour, Width: 2}, limit, strip.Min.Y-3, limit, strip.Max.Y+2)
	if n.known() {
		n.drawValue(strip, x)
	}
	n.writeAbove(strip, l, x)
}

// drawBands shades what lies beyond the limit, and the guard band.
func (n *numberLine) drawBands(strip draw.Canvas, x func(float64) vg.Length) {
	piece := func(low, high vg.Length) vg.Rectangle {
		return vg.Rectangle{Min: vg.Point{X: low, Y: strip.Min.Y}, Max: vg.Point{X: high, Y: strip.Max.Y}}
	}
	beyond := piece(x(n.criterion.Limit), strip.Max.X)
	if n.criterion.Side == job.Min {
		beyond = piece(strip.Min.X, x(n.criterion.Limit))
	}
	fillArea(&strip, beyond, shade, pale)
	if guarded(n.criterion) {
		low, high := guardBand(n.criterion, n.rule)
		fillArea(&strip, piece(x(low), x(high)), guardColour, guardHatch)
	}
}

func (n *numberLine) drawTicks(strip draw.Canvas, l lettering, x func(float64) vg.Length) {
	style := l.regular(smallSize, quiet)
	style.XAlign = draw.XCenter
	line := draw.LineStyle{Color: quiet, Width: stroke}
	strip.StrokeLine2(line, strip.Min.X, strip.Min.Y, strip.Max.X, strip.Min.Y)
	shown := extent{n.scale.In(n.shown.low), n.scale.In(n.shown.high)}
	marker := steps{niceStep(shown.span(), 6), n.words.Notation()}
	for _, tick := range countable(marker.Ticks(shown.low, shown.high), strip.Size().X) {
		at := strip.X((tick.Value - shown.low) / shown.span())
		length := vg.Length(1.5)
		if tick.Label != "" {
			length = 3
		}
		if half := style.Width(tick.Label) / 2; half > 0 && at-half > strip.Min.X-4 && at+half < strip.Max.X+4 {
			place(&strip, style, vg.Point{X: at, Y: strip.Min.Y - 7}, tick.Label)
		}
		strip.StrokeLine2(draw.LineStyle{Color: quiet, Width: axis}, at, strip.Min.Y, at, strip.Min.Y-length)
	}
}

// drawValue puts the coverage interval and the value into the middle of the strip.
func (n *numberLine) drawValue(strip draw.Canvas, x func(float64) vg.Length) {
	middle := strip.Center().Y
	if !n.criterion.Unstated {
		low, high := x(n.criterion.Lower), x(n.criterion.Upper)
		line := draw.LineStyle{Color: ink, Width: 1.6}
		strip.StrokeLine2(line, low, middle, high, middle)
		for _, end := range []vg.Length{low, high} {
			strip.StrokeLine2(line, end, middle-3, end, middle+3)
		}
	}
	at := vg.Point{X: x(n.criterion.Value.Estimate()), Y: middle}
	mark{shape: diamond, radius: 4, colour: paper}.draw(&strip, at)
	mark{shape: diamond, radius: 3.2, colour: ink}.draw(&strip, at)
}

// writeAbove writes the value above the strip, on its side of the limit where there is room, and the limit on
// the other side, or on the same where that is too narrow.
func (n *numberLine) writeAbove(strip draw.Canvas, l lettering, x func(float64) vg.Length) {
	const gap = vg.Length(4)
	bold, plain := l.bold(bodySize, ink), l.regular(smallSize, ink)
	value, at, below := n.value(strip, x)
	height, edge, half := strip.Max.Y+6.5, x(n.criterion.Limit), bold.Width(value)/2
	lower, upper := sideRoom{strip.Min.X, edge - gap}, sideRoom{edge + gap, strip.Max.X}
	own, other := upper, lower
	if below {
		own, other = lower, upper
	}
	if !own.fits(half) {
		own, other = sideRoom{strip.Min.X, strip.Max.X}, sideRoom{}
	}
	at = own.nearest(at, half)
	bold.XAlign, plain.XAlign = draw.XCenter, draw.XCenter
	place(&strip, bold, vg.Point{X: at, Y: height}, value)
	limit := n.words.Say("figure.limit", n.words.Notation().Short(n.criterion.Limit, n.scale))
	half, rest := plain.Width(limit)/2, sideRoom{at + half + 2*gap, own.high}
	if !below {
		rest = sideRoom{own.low, at - bold.Width(value)/2 - 2*gap}
	}
	for _, room := range []sideRoom{other, rest} {
		if room.fits(half) && other != (sideRoom{}) {
			place(&strip, plain, vg.Point{X: room.nearest(edge, half), Y: height}, limit)
			return
		}
	}
}

// sideRoom is where along the strip a text may stand.
type sideRoom struct{ low, high vg.Length }

func (r sideRoom) fits(half vg.Length) bool { return r.high-r.low >= 2*half }

// nearest is where a text of a half width stands that belongs to a place.
func (r sideRoom) nearest(at, half vg.Length) vg.Length { return max(min(at, r.high-half), r.low+half) }

// value is what is written of the value, the place that it belongs to, and whether that is below the limit.
func (n *numberLine) value(strip draw.Canvas, x func(float64) vg.Length) (text string, at vg.Length, below bool) {
	if !n.known() {
		return n.words.Say("verdict.not-evaluated", nil), strip.Center().X, n.criterion.Side == job.Max
	}
	v := n.criterion.Value.Estimate()
	return n.expanded(), x(v), v <= n.criterion.Limit
}

// expanded writes the value with its expanded uncertainty, a ratio with its interval, where it has one and both are of a size that can be read.
func (n *numberLine) expanded() string {
	const longest = 30 // characters
	v, u := n.criterion.Value.Estimate(), n.criterion.ExpandedUncertainty
	if u > 0 && drawable(u) {
		text := n.words.Notation().Expanded(v, u, n.scale)
		if report.IsGrowth(n.criterion.Quantity) { // the interval is even on the logarithm, and not about the value
			number, _, _ := strings.Cut(text, " ±")
			text = number + " (" + n.words.Notation().Interval(n.criterion.Lower, n.criterion.Upper, u, n.scale) + ")"
		}
		if len([]rune(text)) <= longest {
			return text
		}
	}
	return n.words.Notation().Short(v, n.scale)
}
