package figure

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/report/notation"
)

// view is the part of the complex plane that a Nyquist plot must show, in ohm: all points that the fits
// used, but of an inductive tail only the beginning, so that the arcs fill the frame.
type view struct {
	x, y    extent // Z′ and −Z″
	cropped bool   // whether points lie outside
}

const (
	tailShown  = 0.12 // of the arcs' height, below the real axis
	strayShown = 0.25 // of the used points' extent, for points that were not used
	viewMargin = 0.05
	steepest   = 20. // a frame is never so narrow that height over width exceeds this
)

func newView(spectra []drawnSpectrum) view {
	v := view{x: emptyExtent(), y: emptyExtent()}
	height := emptyExtent().with(0)
	eachPoint(spectra, true, func(z complex128) { height = height.with(-imag(z)) })
	floor := -tailShown * height.high
	if height.high == 0 {
		floor = math.Inf(-1) // nothing but a tail
	}
	eachPoint(spectra, true, func(z complex128) {
		if -imag(z) >= floor {
			v.x, v.y = v.x.with(real(z)), v.y.with(-imag(z))
		}
	})
	v = v.withStrays(spectra).padded()
	eachPoint(spectra, true, func(z complex128) { v.cropped = v.cropped || !v.contains(z) })
	eachPoint(spectra, false, func(z complex128) { v.cropped = v.cropped || !v.contains(z) })
	return v
}

// eachPoint visits the points that the fits used, or those that they did not. Where no fit used any, all count.
func eachPoint(spectra []drawnSpectrum, used bool, visit func(z complex128)) {
	for _, s := range spectra {
		for i, z := range s.impedance {
			if s.used[i] == used {
				visit(z)
			}
		}
	}
}

// withStrays is wider by the points near it that no fit used.
func (v view) withStrays(spectra []drawnSpectrum) view {
	reach := func(e extent) extent {
		if e.empty() {
			return extent{-largest, largest}
		}
		return e.padded(strayShown)
	}
	x, y := reach(v.x), reach(v.y)
	eachPoint(spectra, false, func(z complex128) {
		if x.contains(real(z)) && y.contains(-imag(z)) {
			v.x, v.y = v.x.with(real(z)), v.y.with(-imag(z))
		}
	})
	return v
}

func (v view) padded() view {
	if v.x.empty() {
		return v
	}
	least := math.Max(v.x.span(), v.y.span()) / steepest
	grow := func(e extent) extent {
		e = e.padded(viewMargin)
		if lack := least - e.span(); lack > 0 {
			e.low, e.high = e.low-lack/2, e.high+lack/2
		}
		return e
	}
	v.x, v.y = grow(v.x), grow(v.y)
	return v
}

func (v view) empty() bool                { return v.x.empty() || v.y.empty() }
func (v view) aspect() float64            { return v.y.span() / v.x.span() }
func (v view) contains(z complex128) bool { return v.x.contains(real(z)) && v.y.contains(-imag(z)) }

// fineScale is the share of a unit below which the next smaller one reads better.
const fineScale = 0.2

// scale is the unit of ohm that suits the largest coordinate.
func (v view) scale() notation.Scale {
	size := 0.
	for _, c := range []float64{v.x.low, v.x.high, v.y.low, v.y.high} {
		if drawable(c) {
			size = math.Max(size, math.Abs(c))
		}
	}
	return notation.Ohm.Scale(fit.NewValue(size/fineScale/5, 0))
}

// equalise sets the ranges of a plot so that a unit has one length on both axes in c, and one step of ticks
// on both. Labels change the room for data and the room the labels, so it is repeated.
func equalise(p *plot.Plot, c draw.Canvas, x, y extent, notation notation.Notation) {
	step := niceStep(x.span(), 8)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = x.low, x.high, y.low, y.high
	for range 6 {
		p.X.Tick.Marker, p.Y.Tick.Marker = steps{step, notation}, steps{step, notation}
		room := p.DataCanvas(c).Size()
		unit := math.Max(x.span()/float64(room.X), y.span()/float64(room.Y))
		width, height := unit*float64(room.X), unit*float64(room.Y)
		p.X.Min = x.low - (width-x.span())/2
		p.X.Max = p.X.Min + width
		p.Y.Min = y.low - (height-y.span())*0.2 // labels stand above the arcs
		p.Y.Max = p.Y.Min + height
		step = finestStep(p.X, room.X, notation)
	}
}

// finestStep is the smallest step of a horizontal axis whose labels keep apart in a room.
func finestStep(a plot.Axis, room vg.Length, notation notation.Notation) float64 {
	const apart, narrowest = 7, 18 // points
	step := 0.
	for most := int(room / narrowest); most > 0; most-- {
		s := steps{niceStep(a.Max-a.Min, most), notation}
		if s.step == step {
			continue
		}
		step = s.step
		widest := vg.Length(0)
		for _, tick := range s.Ticks(a.Min, a.Max) {
			widest = max(widest, a.Tick.Label.Width(tick.Label))
		}
		if widest+apart <= vg.Length(step/(a.Max-a.Min))*room {
			break
		}
	}
	return step
}
