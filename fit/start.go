package fit

import (
	"math"
)

// outline is what the eye reads off a Nyquist plot: where the curve leaves the real axis, how wide its
// arcs are, where they peak, where the diffusion tail begins.
type outline struct {
	ohmic      float64 // ohm, where the curve is nearest the imaginary axis
	arcs       float64 // ohm, from there to the valley
	peakOmega  float64 // rad/s, largest −Z'' of the arcs
	valley     int     // index of the valley between arcs and tail
	closed     bool    // whether there is a valley inside the band
	tail       float64 // ohm, size of the tail's impedance at diffusionOmega
	leadSize   float64 // ohm, size of the leads' impedance at leadOmega
	inductive  bool    // whether the top of the band is inductive
	lowestReal int     // index of the smallest Z'
}

// read makes the outline of points, highest frequency first.
func read(points []point) outline {
	var o outline
	for i, p := range points {
		if real(p.z) < real(points[o.lowestReal].z) {
			o.lowestReal = i
		}
	}
	o.ohmic = math.Max(real(points[o.lowestReal].z), 1e-9)
	o.valley, o.closed = valley(points, o.lowestReal)
	o.arcs = math.Max(real(points[o.valley].z)-o.ohmic, 0.02*o.ohmic)
	peak := o.lowestReal
	for i := o.lowestReal; i <= o.valley; i++ {
		if imag(points[i].z) < imag(points[peak].z) {
			peak = i
		}
	}
	o.peakOmega = math.Exp(points[peak].lnOmega)
	o.tail = o.tailSize(points)
	top := points[0]
	o.inductive = imag(top.z) > 0
	o.leadSize = math.Max(imag(top.z), 0.01*o.ohmic) * math.Exp(lnLeadOmega-top.lnOmega)
	return o
}

// tailSize extrapolates the lowest point's −Z” to diffusionOmega as a Warburg line.
func (o outline) tailSize(points []point) float64 {
	low := points[len(points)-1]
	size := 0.05 * o.arcs
	if o.closed {
		size = math.Max(-imag(low.z), size)
		return size * math.Sqrt2 * math.Exp(0.5*(low.lnOmega-lnDiffusionOmega))
	}
	return size
}

// valley is the lowest-frequency local minimum of −Z” that stands clear of noise: −Z” must be larger
// somewhere on either side by 3 % and by six standard deviations of its own scatter. Without one the arc is
// not closed in the band and the last point stands for it.
func valley(points []point, from int) (index int, closed bool) {
	n := len(points)
	clear := 6 * scatterOfImaginary(points)
	for i := n - 2; i > from; i-- {
		y := -imag(points[i].z)
		if y > -imag(points[i+1].z) || y > -imag(points[i-1].z) {
			continue
		}
		level := y + math.Max(0.03*math.Abs(y), clear)
		if largest(points[i+1:]) > level && largest(points[from:i]) > level {
			return tailFrom(points, i)
		}
	}
	return n - 1, false
}

// tailFrom tells a diffusion tail, which keeps rising, from a further arc, which rises and bends over: the dip between two arcs
// is no valley. A tail is highest at its end, and its last quarter is at least half as steep as the whole.
func tailFrom(points []point, valley int) (index int, closed bool) {
	last := len(points) - 1
	end, start := points[last].z, points[valley].z
	if -imag(end) < 0.9*largest(points[valley:]) {
		return last, false
	}
	quarter := points[last-max(1, (last-valley)/4)].z
	steep, whole := slope(quarter, end), slope(start, end)
	if last-valley >= 4 && steep < whole/2 {
		return last, false
	}
	return valley, true
}

// slope of −Z” over Z' between two points, infinite for a vertical line.
func slope(a, b complex128) float64 {
	d := b - a
	if real(d) <= 0 {
		return math.Inf(1)
	}
	return -imag(d) / real(d)
}

// scatterOfImaginary is a robust standard deviation of Z” about a cubic through its neighbours: a parabola is not enough
// where a decade has three points. The fourth difference of white noise has 1 + 16 + 36 + 16 + 1 = 70 times its variance.
func scatterOfImaginary(points []point) float64 {
	var d []float64
	for i := 2; i+2 < len(points); i++ {
		y := func(k int) float64 { return imag(points[i+k].z) }
		d = append(d, math.Abs(y(-2)-4*y(-1)+6*y(0)-4*y(1)+y(2)))
	}
	return median(d) / perDeviation / math.Sqrt(70)
}

func largest(points []point) float64 {
	m := math.Inf(-1)
	for _, p := range points {
		m = math.Max(m, -imag(p.z))
	}
	return m
}

// split is a guess of how the arcs share resistance and time; several are tried.
type split struct{ film, filmTime, transferTime float64 }

// splits: a small fast film well before the main arc, one that runs into it, and a broad fast arc with a slow
// one at its end, which are the shapes met in practice.
var splits = []split{{0.2, 0.02, 1}, {0.35, 0.05, 1}, {0.65, 0.2, 2}, {0.5, 0.08, 3}}

// start turns an outline into parameters to begin from.
func (o outline) start(s split, exponents vector) vector {
	tau := 1 / o.peakOmega
	x := exponents
	x[slotOhmic] = math.Log(0.97 * o.ohmic)
	x[slotLead] = math.Log(o.leadSize)
	x[slotFilm], x[slotFilmTime] = math.Log(s.film*o.arcs), math.Log(s.filmTime*tau)
	x[slotTransfer], x[slotTransferTime] = math.Log((1-s.film)*o.arcs), math.Log(s.transferTime*tau)
	x[slotDiffusion] = math.Log(o.tail)
	return x
}

// single is the split of one arc.
var single = split{0, 1, 1}

// like moves a solved neighbour's sizes and times to another spectrum by the ratio of their outlines.
func (o outline) like(neighbour vector, n outline) vector {
	x := neighbour
	size, time := math.Log(o.arcs/n.arcs), math.Log(n.peakOmega/o.peakOmega)
	x[slotOhmic] += math.Log(o.ohmic / n.ohmic)
	x[slotFilm] += size
	x[slotTransfer] += size
	x[slotFilmTime] += time
	x[slotTransferTime] += time
	x[slotDiffusion] += math.Log(o.tail / n.tail)
	return x
}

// centres are the exponents' expected coordinates.
func centres() (x vector) {
	for slot, e := range expectations {
		x[slot] = e.centre
	}
	return x
}

// expectedSizes are where the outline would put a structure's sizes and times, in the fit's coordinates.
func (o outline) expectedSizes(film bool) vector {
	if film {
		return o.start(split{0.4, 0.06, 1}, vector{})
	}
	return o.start(single, vector{})
}
