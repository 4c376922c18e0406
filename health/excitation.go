package health

import (
	"math"
	"math/cmplx"

	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

const (
	// beyondLinear is the line of the budget for arcs that a large excitation made too small.
	beyondLinear = "excitation beyond the linear range"
	// mostShortfall is by how much an arc may be read too small, at most, to be stated (working value, common practice).
	mostShortfall = 0.10
)

// overArcs is the largest peak voltage across a measurement's arcs, its charge-transfer overpotential; 0 where neither an amplitude
// is stated nor an arc known. Of a set current it is that current times their resistance; of a set voltage their share of it.
func (m *Measurement) overArcs() float64 {
	if m.Fit == nil || !m.Fit.Polarisation.Known() {
		return 0
	}
	arcs := m.Fit.Polarisation.Estimate()
	switch {
	case m.Row.AmplitudeV != nil && m.Fit.Ohmic.Known():
		return *m.Row.AmplitudeV * math.Sqrt2 * arcs / (arcs + math.Max(m.Fit.Ohmic.Estimate(), 0))
	case m.Row.AmplitudeV != nil:
		return *m.Row.AmplitudeV * math.Sqrt2
	case m.Row.AmplitudeA != nil:
		return *m.Row.AmplitudeA * math.Sqrt2 * arcs
	}
	return 0
}

// excited reports whether a finding says that the excitation was beyond what cells answer to in proportion.
func (q *Quality) excited() bool { return q.Has("excitation-large") || q.Has("excitation-too-large") }

// overdriven says that a large excitation made a measurement's arcs so small that they cannot be stated; nothing where it did not.
func (m *Measurement) overdriven(r resistance) Statement {
	if r != chargeTransfer && r != polarisation || !m.Quality.excited() {
		return Statement{}
	}
	if peak := m.overArcs(); shortfall(peak) > mostShortfall {
		return because("arcs-overdriven", number("peak", peak, Volt), number("short", shortfall(peak), Fraction), number("most", mostShortfall, Fraction))
	}
	return Statement{}
}

// withExcitation adds what a large excitation may have taken from the arcs, here and there: between nothing and its bound, taken
// for a rectangular distribution of the bound's half-width about the value as read (JCGM 100:2008, 4.3.7), since nothing is
// corrected. What baseline and measurement share cancels.
func (s *specimen) withExcitation(l logarithm, i int, r resistance, against []int) logarithm {
	if r != chargeTransfer && r != polarisation {
		return l
	}
	short := s.short(i)
	for _, k := range against {
		short -= s.short(k) / float64(len(against))
	}
	if short == 0 {
		return l
	}
	return l.with(effect{beyondLinear, "excitation/" + traits[r].element.String(), short / math.Sqrt(3), false})
}

// short is the shortfall of a measurement's arcs; 0 where the excitation was in the linear range.
func (s *specimen) short(i int) float64 {
	if m := &s.Measurements[i]; m.Quality.excited() {
		return shortfall(m.overArcs())
	}
	return 0
}

// compared are the cell's measurements that its baseline was taken from; none where it is declared or of other cells.
func (s *specimen) compared() []int {
	if s.footing.Source != job.First {
		return nil
	}
	return s.footing.Measurements
}

// answered is the largest |Z| of a spectrum in ohm that is the cell's own: what leads induce lies along them and not across the cell.
func answered(s *spectrum.Spectrum) (most float64) {
	for _, z := range s.Impedance {
		most = max(most, cmplx.Abs(complex(real(z), math.Min(imag(z), 0))))
	}
	return most
}
