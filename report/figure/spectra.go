package figure

import (
	"math"
	"math/cmplx"
	"strings"
	"time"

	"gonum.org/v1/plot/plotter"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// drawnSpectrum is one measured spectrum made ready for drawing: in SI units, with what the fit made of
// each point.
type drawnSpectrum struct {
	index     int // of the measurement in its cell
	label     string
	frequency []float64    // Hz
	impedance []complex128 // ohm
	used      []bool       // whether the fit used the point
	accepted  bool
	result    *fit.Result // nil where there is no fit to draw
}

// drawnSpectra are those of a cell's measurements that have points, in time order.
func drawnSpectra(w *report.Words, cell *health.Cell) []drawnSpectrum {
	labels := spectrumLabels(w, cell)
	var list []drawnSpectrum
	for i := range cell.Measurements {
		if s, ok := newDrawnSpectrum(&cell.Measurements[i]); ok {
			s.index, s.label = i, labels[i]
			list = append(list, s)
		}
	}
	return list
}

func newDrawnSpectrum(m *health.Measurement) (s drawnSpectrum, ok bool) {
	if m.Spectrum == nil {
		return s, false
	}
	s.accepted = counts(m)
	if m.Fit != nil && fitted(m.Fit) {
		s.result = m.Fit
	}
	var left map[int]bool
	if m.Fit != nil {
		left = excluded(m.Fit.Excluded)
	}
	for i, z := range m.Spectrum.Impedance {
		f := m.Spectrum.Frequency[i]
		if f > 0 && drawable(f) && drawable(real(z)) && drawable(imag(z)) {
			s.frequency, s.impedance = append(s.frequency, f), append(s.impedance, z)
			s.used = append(s.used, !left[i])
		}
	}
	return s, len(s.frequency) > 0
}

// excluded holds the indices of points that a fit did not use.
func excluded(list []fit.Exclusion) map[int]bool {
	left := make(map[int]bool, len(list))
	for _, e := range list {
		left[e.Index] = true
	}
	return left
}

// counts reports whether a measurement was accepted, by the checks or by hand.
func counts(m *health.Measurement) bool { return m.Quality.Accepted || m.Quality.AcceptedByHand != "" }

// fitted reports whether a fit has a curve to show.
func fitted(r *fit.Result) bool {
	switch r.Status {
	case fit.Converged, fit.TooManySteps, fit.Stalled:
		return r.PointsUsed > 0
	}
	return false
}

// at is the impedance at a frequency, linear in log f between the measured points i and i + 1.
func (s *drawnSpectrum) at(frequency float64) (z complex128, i int, found bool) {
	for i := range len(s.frequency) - 1 {
		a, b := math.Log(s.frequency[i]), math.Log(s.frequency[i+1])
		if share := (math.Log(frequency) - a) / (b - a); share >= -1e-6 && share <= 1+1e-6 {
			return s.impedance[i] + complex(share, 0)*(s.impedance[i+1]-s.impedance[i]), i, true
		}
	}
	return 0, 0, false
}

// model is the fitted curve at so many frequencies over those that the fit used, evenly spaced in log f,
// highest first; none where there is no fit.
func (s *drawnSpectrum) model(count int) (frequency []float64, z []complex128) {
	band := emptyExtent()
	for i, f := range s.frequency {
		if s.used[i] {
			band = band.with(math.Log(f))
		}
	}
	if s.result == nil || band.empty() {
		return nil, nil
	}
	for i := range count {
		f := math.Exp(band.high - band.span()*float64(i)/float64(count-1))
		value := s.result.Parameters.Impedance(f)
		if !cmplx.IsNaN(value) && drawable(real(value)) && drawable(imag(value)) {
			frequency, z = append(frequency, f), append(z, value)
		}
	}
	return frequency, z
}

// Points of a fitted curve: enough that no corner shows in the width of a page, and fewer for faint lines.
const (
	curvePoints = 160
	faintPoints = 60
)

// spectrumLabels tells the measurements of a cell apart: by date, and by whatever else differs among them.
func spectrumLabels(w *report.Words, cell *health.Cell) []string {
	by := differences(cell)
	labels := make([]string, len(cell.Measurements))
	for i, m := range cell.Measurements {
		labels[i] = by.label(w, m.Row)
	}
	return labels
}

// distinction is what tells the measurements of a cell apart.
type distinction struct {
	days                        map[string]int // measurements by day
	cycles, temperature, charge bool
}

func differences(cell *health.Cell) distinction {
	d := distinction{days: map[string]int{}, cycles: true}
	temperature, charge := emptyExtent(), emptyExtent()
	for _, m := range cell.Measurements {
		d.days[m.Row.MeasuredAt.Format(time.DateOnly)]++
		d.cycles = d.cycles && m.Row.Cycles != nil
		temperature = temperature.with(m.Row.TemperatureC)
		if m.Row.SOCPercent != nil {
			charge = charge.with(*m.Row.SOCPercent)
		}
	}
	const kelvins, percent = 2, 2 // smaller differences are scatter
	d.temperature, d.charge = temperature.span() > kelvins, charge.span() > percent
	return d
}

func (d distinction) label(w *report.Words, row *job.Measurement) string {
	day := row.MeasuredAt.Format(time.DateOnly)
	parts := []string{w.Notation().Date(row.MeasuredAt)}
	if row.HasTime && d.days[day] > 1 {
		parts[0] = w.Notation().Minute(row.MeasuredAt)
	}
	whole := func(v float64) string { return w.Notation().Fixed(v, 0, notation.One.Scale()) }
	if d.cycles {
		parts = append(parts, w.Say("figure.cycles", whole(*row.Cycles)))
	}
	if d.temperature {
		parts = append(parts, whole(row.TemperatureC)+notation.NoBreak+notation.Celsius.Symbol)
	}
	if d.charge && row.SOCPercent != nil {
		parts = append(parts, w.Say("figure.charge", whole(*row.SOCPercent)))
	}
	return strings.Join(parts, ", ")
}

// inNyquist gives impedances as points of the Nyquist plane in a scale: Z′ to the right, −Z″ upward.
func inNyquist(s notation.Scale, z []complex128) plotter.XYs {
	points := make(plotter.XYs, len(z))
	for i, v := range z {
		points[i] = plotter.XY{X: s.In(real(v)), Y: s.In(-imag(v))}
	}
	return points
}
