package figure

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// bode is the figure of magnitude and phase of the baseline's spectrum and of the judged one.
type bode struct {
	words   *report.Words
	spectra []drawnSpectrum // one or two
	scale   notation.Scale
	band    extent // Hz
	size    extent // ohm
}

// Bode draws magnitude and phase against frequency, of the cell's baseline where it is its own and of the
// measurement that is judged, with their fits.
func Bode(d *report.Document, cell *health.Cell) Figure {
	b := newBode(d.Words, cell)
	height := emptyHeight
	if len(b.spectra) > 0 {
		height = 2*(29+float64(headRoom)/pointsPerMM) + axisHeight + 5
	}
	return Figure{
		Name:    figureName(cell.Name, "bode"),
		Caption: b.words.Say("figure.bode.caption", map[string]any{"Cell": cell.Name, "Count": len(b.spectra)}),
		Width:   figureWidth,
		Height:  height,
		Draw:    b.draw,
	}
}

func newBode(w *report.Words, cell *health.Cell) *bode {
	b := &bode{words: w, band: emptyExtent(), size: emptyExtent()}
	judged := shownMeasurement(cell)
	first := -1
	if len(cell.Baseline.Measurements) > 0 {
		first = cell.Baseline.Measurements[0]
	}
	for _, s := range drawnSpectra(w, cell) {
		if s.index == first || s.index == judged {
			b.spectra = append(b.spectra, s)
		}
	}
	for _, s := range b.spectra {
		b.band = b.band.with(s.frequency...)
		for _, z := range s.impedance {
			b.size = b.size.with(cmplx.Abs(z))
		}
	}
	if !b.size.empty() {
		b.scale = notation.Ohm.Scale(fit.NewValue(b.size.high, 0))
	}
	return b
}

func (b *bode) draw(c draw.Canvas) {
	l := newLettering()
	if len(b.spectra) == 0 {
		nothing(c, l, b.words.Say("figure.bode.none", nil))
		return
	}
	key := b.legend(l)
	width := c.Max.X - c.Min.X - vg.Length(axisWidth*pointsPerMM)
	areas := stack(draw.Crop(c, 2, -2, key.height(width), 0), l, b.words.Say("figure.frequency", nil), []panel{
		{plot: b.magnitude(l), head: b.words.Say("figure.bode.magnitude", nil), axis: "|Z| / " + b.scale.Symbol},
		{plot: b.phase(l), head: b.words.Say("figure.bode.phase", nil), axis: "φ / °"},
	})
	key.draw(c, areas[0].Min.X, width)
}

func (b *bode) magnitude(l lettering) *plot.Plot {
	p := b.plot(l, func(z complex128) float64 { return b.scale.In(cmplx.Abs(z)) })
	size := extent{b.scale.In(b.size.low), b.scale.In(b.size.high)}
	const farApart = 15
	if size.low > 0 && size.high/size.low > farApart {
		size = size.paddedLog(0.06)
		p.Y.Scale, p.Y.Tick.Marker = plot.LogScale{}, decades{notation: b.words.Notation()}
	} else {
		size = size.padded(0.08)
		p.Y.Tick.Marker = steps{niceStep(size.span(), 5), b.words.Notation()}
	}
	p.Y.Min, p.Y.Max = size.low, size.high
	return p
}

func (b *bode) phase(l lettering) *plot.Plot {
	p := b.plot(l, degrees)
	angle := emptyExtent()
	for _, s := range b.spectra {
		for _, z := range s.impedance {
			angle = angle.with(degrees(z))
		}
	}
	angle = angle.padded(0.08)
	p.Y.Tick.Marker = steps{niceStep(angle.span(), 5), b.words.Notation()}
	p.Y.Min, p.Y.Max = angle.low, angle.high
	return p
}

func degrees(z complex128) float64 { return cmplx.Phase(z) * 180 / math.Pi }

// plot draws one part of the spectra against frequency.
func (b *bode) plot(l lettering, part func(complex128) float64) *plot.Plot {
	p := newPlot(l)
	frequencyAxis(p, b.words, b.band)
	for i, s := range b.spectra {
		m := b.look(i)
		f, z := s.model(curvePoints)
		p.Add(smooth{draw.LineStyle{Color: m.colour, Width: stroke}, against(f, z, part)})
		for j, v := range s.impedance {
			one := m
			one.open = !s.used[j]
			p.Add(marks{one, plotter.XYs{{X: s.frequency[j], Y: part(v)}}})
		}
	}
	p.Add(frame{})
	return p
}

func against(frequency []float64, z []complex128, part func(complex128) float64) plotter.XYs {
	points := make(plotter.XYs, len(z))
	for i, v := range z {
		points[i] = plotter.XY{X: frequency[i], Y: part(v)}
	}
	return points
}

// look is that of the same age in the Nyquist plot.
func (b *bode) look(i int) mark {
	if i == len(b.spectra)-1 {
		return mark{shape: disc, radius: 1.35, colour: AgeColour(1)}
	}
	return mark{shape: square, radius: 1.35, colour: AgeColour(0)}
}

func (b *bode) legend(l lettering) legend {
	key := legend{text: l}
	for i, s := range b.spectra {
		m := b.look(i)
		key.entries = append(key.entries, entry{sampleOf(&draw.LineStyle{Color: m.colour, Width: stroke}, &m), s.label})
	}
	for _, s := range b.spectra {
		for _, used := range s.used {
			if !used {
				open := mark{radius: 1.6, colour: quiet, open: true}
				key.entries = append(key.entries, entry{sampleOf(nil, &open), b.words.Say("figure.excluded", nil)})
				return key
			}
		}
	}
	return key
}
