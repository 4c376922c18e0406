package figure

import (
	"math"
	"math/cmplx"
	"path"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// comparison is the figure of two measurements of one cell: both in the complex plane, and their difference
// against frequency, in which a shift along the real axis is level and a change of an arc is not.
type comparison struct {
	words *report.Words
	plane *nyquist          // A and B
	moved plotter.XYs       // A's curve, moved by the shift; none where the shift is not sure
	shift fit.Value         // ohm
	parts [2]plotter.XYs    // B − A in ohm: real and imaginary part against frequency in hertz
	band  extent            // Hz
	names map[string]string // what A and B are called
}

// Compare draws two measurements of one cell, A and B, with equal scales, and their difference.
func Compare(w *report.Words, c *health.Comparison) Figure {
	k := newComparison(w, c)
	height := k.plane.height()
	if !k.apart() {
		height += differenceHeight
	}
	return Figure{
		Name:    "comparison",
		Caption: k.caption(c),
		Width:   figureWidth,
		Height:  height,
		Draw:    k.draw,
	}
}

// differenceHeight is that of the lower panel with its axis, in mm.
const differenceHeight = 46.

func newComparison(w *report.Words, c *health.Comparison) *comparison {
	k := &comparison{words: w, band: emptyExtent(), shift: c.Shift}
	k.plane = &nyquist{words: w}
	k.names = namesApart(c.A.Row.File, c.B.Row.File)
	for i, m := range []*health.Measurement{&c.A, &c.B} {
		if s, ok := newDrawnSpectrum(m); ok {
			name := string(rune('A' + i))
			s.label = w.Say("figure.compare.spectrum", map[string]string{"Letter": name, "File": k.names[name]})
			k.plane.ages = append(k.plane.ages, s)
		}
	}
	k.plane.all = len(k.plane.ages)
	k.plane.view = newView(k.plane.ages)
	k.plane.scale = k.plane.view.scale()
	for _, s := range k.plane.ages {
		k.plane.fits = append(k.plane.fits, k.plane.lineOf(s, curvePoints, false))
	}
	if len(k.plane.ages) == 2 && c.Comparable {
		k.subtract()
	}
	return k
}

// namesApart are what two files are called: without their folders where that tells them apart.
func namesApart(a, b string) map[string]string {
	if path.Base(a) != path.Base(b) {
		a, b = path.Base(a), path.Base(b)
	}
	return map[string]string{"A": a, "B": b}
}

// subtract takes A from B where both were measured, and moves A by the shift.
func (k *comparison) subtract() {
	a, b := &k.plane.ages[0], &k.plane.ages[1]
	for i, f := range a.frequency {
		z, _, found := b.at(f)
		if !found {
			continue
		}
		d := z - a.impedance[i]
		k.band = k.band.with(f)
		k.parts[0] = append(k.parts[0], plotter.XY{X: f, Y: real(d)})
		k.parts[1] = append(k.parts[1], plotter.XY{X: f, Y: imag(d)})
	}
	if k.shift.Known() && math.Abs(k.shift.Estimate()) > sureShift*k.shift.StandardUncertainty() {
		k.moved = k.plane.lineOf(*a, curvePoints, true)
		for i := range k.moved {
			k.moved[i].X += k.plane.scale.In(k.shift.Estimate())
		}
	}
}

// sureShift is how many standard uncertainties a shift has that is drawn.
const sureShift = 2

// apart reports whether there is no difference to draw.
func (k *comparison) apart() bool { return k.band.empty() }

func (k *comparison) caption(c *health.Comparison) string {
	return k.words.Say("figure.compare.caption", map[string]any{
		"A": k.names["A"], "B": k.names["B"], "Drawn": len(k.plane.ages), "Comparable": !k.apart(), "Shift": k.shiftText(),
		"Moved": len(k.moved) > 0, "Cropped": k.plane.view.cropped,
	})
}

// shiftText writes the shift with its sign and its standard uncertainty.
func (k *comparison) shiftText() string {
	text := k.words.Notation().Value(k.shift, notation.Ohm.Scale(k.shift))
	if k.shift.Known() && k.shift.Estimate() > 0 {
		text = "+" + text
	}
	return text
}

func (k *comparison) draw(c draw.Canvas) {
	l := newLettering()
	if k.plane.view.empty() {
		nothing(c, l, k.words.Say("figure.nyquist.none", nil))
		return
	}
	if !k.apart() {
		lower := vg.Length(differenceHeight * pointsPerMM)
		k.drawDifference(draw.Crop(c, 0, 0, 0, lower-(c.Max.Y-c.Min.Y)), l)
		c = draw.Crop(c, 0, 0, lower+6, 0)
	}
	k.drawPlane(c, l)
}

// drawPlane draws both spectra in the complex plane.
func (k *comparison) drawPlane(c draw.Canvas, l lettering) {
	n := k.plane
	key := k.legend(l)
	width := c.Max.X - c.Min.X - vg.Length(axisWidth*pointsPerMM)
	upper := draw.Crop(c, 2, -2, key.height(width), -1)
	p := n.plot(l)
	p.Add(curve{movedLine, k.moved})
	equalise(p, upper, n.inScale(n.view.x), n.inScale(n.view.y), n.words.Notation())
	area := p.DataCanvas(upper)
	spare(&p.X, area.Size().X)
	spare(&p.Y, area.Size().Y)
	p.Draw(upper)
	n.labelDecades(p, area, l)
	key.draw(c, area.Min.X, width)
}

// movedLine is the look of A where the shift has moved it.
var movedLine = draw.LineStyle{Color: quiet, Width: axis, Dashes: dashed()}

func (k *comparison) legend(l lettering) legend {
	key := k.plane.legend(l)
	if len(k.moved) > 0 {
		key.entries = append(key.entries, entry{sampleOf(&movedLine, nil), k.words.Say("figure.compare.moved", k.shiftText())})
	}
	return key
}

// drawDifference draws B − A against frequency.
func (k *comparison) drawDifference(c draw.Canvas, l lettering) {
	least := leastDifference * k.largest()
	size := emptyExtent().with(-least).with(least)
	for _, part := range k.parts {
		for _, d := range part {
			size = size.with(d.Y)
		}
	}
	scale := notation.Ohm.Scale(fit.NewValue(math.Max(-size.low, size.high), 0))
	key := legend{text: l, entries: []entry{
		{sampleOf(nil, &realMark), k.words.Say("figure.residuals.real", nil)},
		{sampleOf(nil, &imaginaryMark), k.words.Say("figure.residuals.imaginary", nil)},
	}}
	if len(k.moved) > 0 {
		key.entries = append(key.entries, entry{sampleOf(&movedLine, nil), k.words.Say("figure.compare.shift", nil)})
	}
	width := c.Max.X - c.Min.X - vg.Length(axisWidth*pointsPerMM)
	areas := stack(draw.Crop(c, 2, -2, key.height(width), 0), l, k.words.Say("figure.frequency", nil), []panel{{
		plot: k.differencePlot(l, scale, size), head: k.words.Say("figure.compare.difference", nil),
		axis: k.words.Say("figure.compare.axis", scale.Symbol),
	}})
	key.draw(c, areas[0].Min.X, width)
}

// leastDifference is the half-height of the axis at least, as a part of |Z|: below it nothing is measured (common practice: a good
// instrument repeats within 0.1 %).
const leastDifference = 1e-4

// largest is A's largest |Z| in ohm.
func (k *comparison) largest() (most float64) {
	for _, z := range k.plane.ages[0].impedance {
		most = max(most, cmplx.Abs(z))
	}
	return most
}

func (k *comparison) differencePlot(l lettering, scale notation.Scale, size extent) *plot.Plot {
	p := newPlot(l)
	frequencyAxis(p, k.words, k.band)
	size = extent{scale.In(size.low), scale.In(size.high)}.padded(0.08)
	p.Y.Min, p.Y.Max = size.low, size.high
	p.Y.Tick.Marker = steps{niceStep(size.span(), 5), k.words.Notation()}
	p.Add(level{draw.LineStyle{Color: quiet, Width: thin}, 0})
	if len(k.moved) > 0 {
		p.Add(level{movedLine, scale.In(k.shift.Estimate())})
	}
	for i, m := range []mark{realMark, imaginaryMark} {
		points := make(plotter.XYs, len(k.parts[i]))
		for j, d := range k.parts[i] {
			points[j] = plotter.XY{X: d.X, Y: scale.In(d.Y)}
		}
		p.Add(marks{m, points})
	}
	p.Add(frame{})
	return p
}
