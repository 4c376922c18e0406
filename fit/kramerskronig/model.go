package kramerskronig

import (
	"math"

	"ohmledger/fit/internal/leastsq"
	"ohmledger/fit/spectrum"
)

// baseColumns are those of R∞, L and 1/C, which stand in every model.
const baseColumns = 3

// model describes a spectrum by
//
//	Z = R∞ + jωL + 1/(jωC) + Σ R_k/(1+jωτ_k)
//
// with given τ_k, so that a linear least-squares fit finds the rest. Each row is weighted by 1/|Z|; real
// parts come first, imaginary parts after them. Impedance is counted in the spectrum's largest |Z|, frequency in the
// middle of its band, so that no unit can make a number overflow.
type model struct {
	impedance        []complex128
	omega, weight    []float64
	shortest, spread float64   // the range of τ: its shortest, and its longest over its shortest
	tau              []float64 // τ_k of the last fit
	linear           *leastsq.Linear
	column           []float64 // of the fit, 2N
	factors          []float64 // R∞, L, 1/C and R_k, as of the last fit
}

// newModel prepares a fit with room for up to most time constants and for extra columns beside them. The
// τ_k run from 1/ω of the highest frequency to 1/ω of the lowest, widened at both ends by the factor beyond.
func newModel(s *spectrum.Spectrum, beyond float64, most, extra int) *model {
	n := len(s.Frequency)
	room := make([]float64, 4*n+baseColumns+most+extra+most)
	m := &model{
		impedance: make([]complex128, n), omega: room[:n], weight: room[n : 2*n], column: room[2*n : 4*n],
		factors: room[4*n : len(room)-most], tau: room[len(room)-most:], linear: leastsq.NewLinear(2*n, baseColumns+most+extra),
	}
	size, middle := largest(s.Impedance), math.Sqrt(s.Frequency[0])*math.Sqrt(s.Frequency[n-1])
	for i, f := range s.Frequency {
		m.omega[i] = f / middle
		m.impedance[i] = s.Impedance[i] / complex(size, 0)
		m.weight[i] = inverseModulus(m.impedance[i])
	}
	m.shortest = 1 / (m.omega[0] * beyond)
	m.spread = m.omega[0] / m.omega[n-1] * beyond * beyond
	m.begin()
	return m
}

// largest is the largest |Z|, 1 where there is none to count in.
func largest(impedance []complex128) float64 {
	size := 0.0
	for _, z := range impedance {
		size = max(size, math.Abs(real(z)), math.Abs(imag(z)))
	}
	if size == 0 {
		return 1
	}
	return size
}

// inverseModulus is the weight of a point, of |Z| against the largest. One of nothing against the others takes no part.
func inverseModulus(z complex128) float64 {
	const nothing = 1e-30
	size := math.Hypot(real(z), imag(z))
	if size < nothing {
		return 0
	}
	return 1 / size
}

// begin sets the measured values and the columns that stand in every model.
func (m *model) begin() {
	m.fill(func(i int) complex128 { return m.impedance[i] })
	m.linear.Start(m.column)
	m.append(func(int) complex128 { return 1 })
	m.append(func(i int) complex128 { return complex(0, m.omega[i]) })
	m.append(func(i int) complex128 { return complex(0, -1/m.omega[i]) })
}

// fill sets the column to the weighted value that each point has.
func (m *model) fill(value func(point int) complex128) {
	n := len(m.omega)
	for i, w := range m.weight {
		z := value(i)
		m.column[i], m.column[n+i] = real(z)*w, imag(z)*w
	}
}

func (m *model) append(value func(point int) complex128) {
	m.fill(value)
	m.linear.Append(m.column)
}

// fit describes the spectrum with as many time constants as asked for and returns their R_k.
func (m *model) fit(timeConstants int) (resistances []float64) {
	n := len(m.omega)
	m.linear.Keep(baseColumns)
	m.spreadOut(timeConstants)
	for _, tau := range m.tau[:timeConstants] {
		for i, omega := range m.omega {
			x := omega * tau
			part := m.weight[i] / (1 + x*x)
			m.column[i], m.column[n+i] = part, -x*part
		}
		m.linear.Append(m.column)
	}
	m.linear.Coefficients(m.factors[:baseColumns+timeConstants])
	return m.factors[baseColumns : baseColumns+timeConstants]
}

// spreadOut sets the τ_k of a model of so many: evenly spaced in the logarithm, from the shortest to the longest
// (Schönleber et al. 2014; from memory).
func (m *model) spreadOut(timeConstants int) {
	step := math.Log(m.spread) / float64(max(1, timeConstants-1))
	for k := range timeConstants {
		m.tau[k] = m.shortest * math.Exp(float64(k)*step)
	}
}

// freedom is the number of values less that of fitted terms.
func (m *model) freedom() int { return m.linear.Rows() - m.linear.Rank() }

// noise is the standard deviation of a part that the residuals suggest, as a fraction of |Z|.
func (m *model) noise() float64 { return math.Sqrt(m.linear.SumOfSquares() / float64(m.freedom())) }
