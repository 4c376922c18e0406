package fit

import (
	"fmt"
	"math"
	"math/cmplx"
)

// trace is one spectrum on its way through a fit.
type trace struct {
	measured Measured
	all      []point // every measured point, highest frequency first
	sheet    *sheet  // the points used
	outline  outline // of the points used
	excluded []Exclusion
}

// leastPoints is the fewest points that a circuit is fitted to: two parts a point against up to eight
// parameters of one arc, with as many left over to judge the fit by.
const leastPoints = 8

// tailDecades is how far below the valley the diffusion tail is one straight line: further down a cell's finite
// thickness bends it upwards, which the circuit does not describe (common practice).
const tailDecades = 1.3

// firstSigma is the relative standard deviation of a residual that a fit begins with.
const firstSigma = 3e-3

// prepare chooses the points that count, by rule, and outlines the curve.
func prepare(m Measured) *trace {
	t := &trace{measured: m}
	for i, f := range m.Spectrum.Frequency {
		z := m.Spectrum.Impedance[i]
		p := point{lnOmega: math.Log(2 * math.Pi * f), z: z, weight: 1 / cmplx.Abs(z), index: i}
		if !(real(z) > 0) || cmplx.IsNaN(z) || cmplx.IsInf(z) {
			t.exclude(p, because("excluded-real-part", "the real part is not positive: a passive cell cannot show that"))
			p.weight = 0
		}
		t.all = append(t.all, p)
	}
	t.sheet = &sheet{sigma: firstSigma}
	for _, p := range t.all {
		if p.weight > 0 {
			t.sheet.points = append(t.sheet.points, p)
		}
	}
	if len(t.sheet.points) >= leastPoints {
		t.outline = read(t.sheet.points)
		t.cutTail()
	}
	return t
}

func (t *trace) exclude(p point, why Statement) {
	t.excluded = append(t.excluded, Exclusion{p.index, t.measured.Spectrum.Frequency[p.index], why.Text, why})
}

// cutTail leaves out what lies too far below the valley.
func (t *trace) cutTail() {
	if !t.outline.closed {
		return
	}
	points := t.sheet.points
	end := points[t.outline.valley].lnOmega - tailDecades*math.Ln10
	n := len(points)
	for n > leastPoints && points[n-1].lnOmega < end {
		n--
	}
	for _, p := range points[n:] {
		t.exclude(p, because("excluded-tail",
			fmt.Sprintf("more than %.1f decades below the end of the arcs: the diffusion tail is no longer one straight line there", tailDecades),
			number("decades", tailDecades)))
	}
	t.sheet.points = points[:n]
	t.outline = read(t.sheet.points)
}

// usable reports whether there is enough to fit.
func (t *trace) usable() bool { return len(t.sheet.points) >= leastPoints }
