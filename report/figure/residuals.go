package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/health"
	"ohmledger/report"
)

// residuals is the figure of how far one spectrum lies from its fit, and from what any linear, stable and
// causal cell could show.
type residuals struct {
	words *report.Words
	label string // of the measurement
	of    []residualSet
	band  extent // log f is drawn over it
}

// residualSet are the residuals of one model, in per cent of |Z|, against frequency in hertz.
type residualSet struct {
	block                                        string // of the head
	real, imaginary, realUnused, imaginaryUnused plotter.XYs
	rms                                          float64 // 1
	reason                                       string  // block that says why there are none
}

// Residuals draws the relative residuals of the judged measurement's fit and of its Kramers–Kronig test
// against frequency; without a judged measurement those of the latest that has a spectrum.
func Residuals(d *report.Document, cell *health.Cell) Figure {
	r := newResiduals(d.Words, cell)
	return Figure{
		Name:    figureName(cell.Name, "residuals"),
		Caption: r.words.Say("figure.residuals.caption", map[string]any{"Cell": cell.Name, "Label": r.label, "Beyond": r.anyBeyond()}),
		Width:   figureWidth,
		Height:  2*(25+float64(headRoom)/pointsPerMM) + axisHeight + 5,
		Draw:    r.draw,
	}
}

func newResiduals(w *report.Words, cell *health.Cell) *residuals {
	r := &residuals{words: w, band: emptyExtent()}
	fits := residualSet{block: "figure.residuals.fit", reason: "figure.residuals.no-fit"}
	consistency := residualSet{block: "figure.residuals.consistency", reason: "figure.residuals.no-consistency"}
	if i := shownMeasurement(cell); i >= 0 {
		m := &cell.Measurements[i]
		r.label = spectrumLabels(w, cell)[i]
		for _, f := range m.Spectrum.Frequency {
			if f > 0 {
				r.band = r.band.with(f)
			}
		}
		if m.Fit != nil {
			fits.fill(m.Spectrum.Frequency, m.Fit.Residuals, excluded(m.Fit.Excluded))
			fits.rms = m.Fit.RMSResidual
		}
		if k := m.Quality.KramersKronig; k != nil {
			consistency.fill(m.Spectrum.Frequency, k.Residuals, nil)
			consistency.rms = k.RMSResidual
		}
	}
	r.of = []residualSet{fits, consistency}
	return r
}

// shownMeasurement is the index of the judged measurement, else of the last with a spectrum, else −1.
func shownMeasurement(cell *health.Cell) int {
	if i := cell.Latest; i >= 0 && i < len(cell.Measurements) && cell.Measurements[i].Spectrum != nil {
		return i
	}
	for i := len(cell.Measurements) - 1; i >= 0; i-- {
		if cell.Measurements[i].Spectrum != nil {
			return i
		}
	}
	return -1
}

func (s *residualSet) fill(frequency []float64, values []complex128, unused map[int]bool) {
	for i := range min(len(frequency), len(values)) {
		re := plotter.XY{X: frequency[i], Y: 100 * real(values[i])}
		im := plotter.XY{X: frequency[i], Y: 100 * imag(values[i])}
		if unused[i] {
			s.realUnused, s.imaginaryUnused = append(s.realUnused, re), append(s.imaginaryUnused, im)
			continue
		}
		s.real, s.imaginary = append(s.real, re), append(s.imaginary, im)
	}
}

// reach is the size of residuals, in per cent, that the axis shows: the band of one per cent, and all
// points unless a few of them are so large that the others could not be read.
func (s *residualSet) reach() float64 {
	const farthest = 6 // times the size that nine in ten keep within
	var sizes []float64
	for _, v := range slices.Concat(s.real, s.imaginary) {
		if drawable(v.Y) {
			sizes = append(sizes, math.Abs(v.Y))
		}
	}
	if len(sizes) == 0 {
		return 1.25
	}
	slices.Sort(sizes)
	most := sizes[len(sizes)-1]
	return math.Max(1.25, 1.1*math.Min(most, farthest*math.Max(sizes[len(sizes)*9/10], 1./farthest)))
}

// anyBeyond reports whether a residual lies beyond what its axis shows.
func (r *residuals) anyBeyond() bool {
	for i := range r.of {
		s, reach := &r.of[i], r.of[i].reach()
		for _, v := range slices.Concat(s.real, s.imaginary, s.realUnused, s.imaginaryUnused) {
			if drawable(v.Y) && math.Abs(v.Y) > reach {
				return true
			}
		}
	}
	return false
}

func (s *residualSet) empty() bool { return len(s.real)+len(s.realUnused) == 0 }

// The looks of the two parts of an impedance.
var (
	realMark      = mark{shape: disc, radius: 1.5, colour: blue}
	imaginaryMark = mark{shape: square, radius: 1.45, colour: vermilion, open: true}
	unusedReal    = mark{shape: disc, radius: 1.2, colour: pale}
	unusedImage   = mark{shape: square, radius: 1.2, colour: pale, open: true}
	permitted     = faded(green, 0.14)
	permittedEdge = faded(green, 0.8)
)

func (r *residuals) draw(c draw.Canvas) {
	l := newLettering()
	key := r.legend(l)
	width := c.Max.X - c.Min.X - vg.Length(axisWidth*pointsPerMM)
	upper := draw.Crop(c, 2, -2, key.height(width), 0)
	var panels []panel
	for i := range r.of {
		set := &r.of[i]
		panels = append(panels, panel{r.plot(l, set), r.words.Say(set.block, nil), r.note(set), r.words.Say("figure.residuals.axis", nil)})
	}
	areas := stack(upper, l, r.words.Say("figure.frequency", nil), panels)
	for i, area := range areas {
		if r.of[i].empty() {
			area.Min.Y = area.Center().Y // above the line of zero
			nothing(area, l, r.words.Say(r.of[i].reason, nil))
		}
	}
	key.draw(c, areas[0].Min.X, width)
}

func (r *residuals) note(s *residualSet) string {
	if s.empty() || !drawable(s.rms) {
		return ""
	}
	return r.words.Say("figure.residuals.rms", r.words.Notation().Percentage(s.rms, 2))
}

func (r *residuals) plot(l lettering, s *residualSet) *plot.Plot {
	p := newPlot(l)
	n := r.words.Notation()
	frequencyAxis(p, r.words, r.band)
	p.Y.Max = s.reach()
	p.Y.Min = -p.Y.Max
	p.Y.Tick.Marker = steps{niceStep(2*p.Y.Max, 5), n}
	edge := draw.LineStyle{Color: permittedEdge, Width: 0.6, Dashes: dashed()}
	p.Add(band{low: -1, high: 1, fill: permitted}, level{edge, 1}, level{edge, -1},
		level{draw.LineStyle{Color: quiet, Width: thin}, 0},
		outliers{marks{unusedReal, s.realUnused}}, outliers{marks{unusedImage, s.imaginaryUnused}},
		outliers{marks{realMark, s.real}}, outliers{marks{imaginaryMark, s.imaginary}}, frame{})
	return p
}

// outliers draws marks, and those above or below the frame as wedges at its edge that point outward.
type outliers struct{ marks }

// Plot implements plot.Plotter.
func (o outliers) Plot(c draw.Canvas, p *plot.Plot) {
	for _, at := range toCanvas(c, p, o.points) {
		m := o.mark
		switch {
		case at.Y > c.Max.Y:
			m.shape, at.Y = triangle, c.Max.Y-2.5
		case at.Y < c.Min.Y:
			m.shape, at.Y = wedge, c.Min.Y+2.5
		}
		if c.Contains(at) {
			m.draw(&c, at)
		}
	}
}

// frequencyAxis is a logarithmic axis of frequency over a band in hertz.
func frequencyAxis(p *plot.Plot, w *report.Words, band extent) {
	band = band.paddedLog(0.02)
	p.X.Scale = plot.LogScale{}
	p.X.Min, p.X.Max = band.low, band.high
	const mostLabels = 12
	every := int(math.Ceil(math.Log10(band.high/band.low) / mostLabels))
	p.X.Tick.Marker = decades{w.Notation(), every}
}

func (r *residuals) legend(l lettering) legend {
	key := legend{text: l, entries: []entry{
		{sampleOf(nil, &realMark), r.words.Say("figure.residuals.real", nil)},
		{sampleOf(nil, &imaginaryMark), r.words.Say("figure.residuals.imaginary", nil)},
		{sampleArea(band{fill: permitted}), r.words.Say("figure.residuals.band", nil)},
	}}
	if len(r.of[0].realUnused) > 0 {
		key.entries = append(key.entries, entry{sampleOf(nil, &unusedReal), r.words.Say("figure.residuals.unused", nil)})
	}
	return key
}
