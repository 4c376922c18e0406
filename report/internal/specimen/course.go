package specimen

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
)

// course is how an invented cell ages.
type course struct {
	name                        string
	growth                      float64 // of the charge-transfer resistance by the end
	capacity                    float64 // retention by the end; 0: never measured
	film                        bool    // two arcs
	twoWire, rejected, unfitted int     // measurement from 1; 0: none
	hot                         bool    // the last measurement is outside the temperature range
}

// relative standard uncertainties of the invented fits
const (
	uOhmic, uChargeTransfer = 0.004, 0.011
	uScale                  = 0.004 // rest of ln growth: temperature
)

func (c course) cell(j *job.Job, seed, n int) health.Cell {
	cell := health.Cell{Name: c.name, Arcs: 1, ArcsChoice: "One arc describes all spectra of the cell to the noise.", Latest: n - 1}
	if c.film {
		cell.Arcs, cell.ArcsChoice = 2, "Two arcs: one leaves structured residuals."
	}
	random := rand.New(rand.NewPCG(1, uint64(seed)))
	for k := range n {
		cell.Measurements = append(cell.Measurements, c.measurement(k, n, random))
	}
	first := cell.Measurements[0]
	cell.Baseline = health.Baseline{Source: job.First, Ohmic: first.Fit.Ohmic, ChargeTransfer: first.Fit.ChargeTransfer, Polarisation: first.Fit.Polarisation,
		ACResistance1kHz: first.ACResistance1kHz, TemperatureC: first.Row.TemperatureC, TemperatureUncertaintyC: 0.5, SOCPercent: pointer(50),
		MeasuredAt: first.Row.MeasuredAt, Measurements: []int{0}, Note: "The mean of the accepted measurements of the first day."}
	if c.capacity > 0 {
		cell.Baseline.CapacityAh = fit.NewValue(4.8, 0)
	}
	for k := range cell.Measurements {
		c.follow(&cell.Measurements[k], &cell.Baseline, j.Limits[0].Bound)
	}
	judge(j, &cell)
	return cell
}

// parameters of the circuit at a fraction of the course.
func (c course) parameters(x float64) fit.Parameters {
	p := fit.Parameters{LeadCoefficient: 3e-7, LeadExponent: 0.95, Ohmic: 0.0201 * (1 + 0.18*x*(c.growth-1)),
		ChargeTransfer: 0.0123 * (1 + x*(c.growth-1)), ChargeTransferTimeConstant: 0.012, ChargeTransferExponent: 0.82,
		Diffusion: 0.0021, DiffusionExponent: 0.5}
	if c.film {
		p.Film, p.FilmTimeConstant, p.FilmExponent = 0.0031*(1+0.3*x), 3e-4, 0.86
	}
	return p
}

// activation energies of the invented cells in J/mol, and where their parameters hold
const (
	energyOhmic, energyChargeTransfer = 12e3, 52e3
	referenceC                        = 25
)

// arrhenius is by how much a resistance at one temperature exceeds that at another.
func arrhenius(energy, celsius, than float64) float64 {
	const molarGas = 8.31446261815324 // J/(mol K), CODATA 2018
	return math.Exp(energy / molarGas * (1/(celsius+273.15) - 1/(than+273.15)))
}

func warmed(p fit.Parameters, celsius float64) fit.Parameters {
	p.Ohmic *= arrhenius(energyOhmic, celsius, referenceC)
	p.ChargeTransfer *= arrhenius(energyChargeTransfer, celsius, referenceC)
	p.Film *= arrhenius(energyChargeTransfer, celsius, referenceC)
	return p
}

func (c course) measurement(k, n int, random *rand.Rand) health.Measurement {
	x := 0.0
	if n > 1 {
		x = float64(k) / float64(n-1)
	}
	celsius := 25 + math.Round(20*random.NormFloat64())/20
	if c.hot && k == n-1 {
		celsius = 38.5
	}
	p := warmed(c.parameters(x), celsius)
	s := sweep(p, fmt.Sprintf("spectra/%s-%d.csv", c.name, k+1), random)
	m := health.Measurement{
		Row: &job.Measurement{Cell: c.name, File: s.File, MeasuredAt: start.Add(time.Duration(x*740*24) * time.Hour), HasTime: k%2 == 0,
			TemperatureC: celsius, TemperatureUncertaintyC: 0.5, SOCPercent: pointer(50), Cycles: pointer(math.Round(900 * x)),
			ThroughputAh: pointer(math.Round(8600 * x)), Sensing: "4-wire", Control: "galvanostatic", AmplitudeA: pointer(0.25), RestMinutes: pointer(60),
			Instrument: "bench 2", Fixture: "holder C", Operator: "A. Brook", Extra: map[string]string{"module": "M1"}, Line: k + 2},
		SHA256: digest(s.File), Spectrum: s,
		Quality: health.Quality{Accepted: true, KramersKronig: &kramerskronig.Result{TimeConstants: 17, Mu: 0.81, RMSResidual: 0.0011, MaxResidual: 0.0034, RunsZ: -0.7, NoisePercent: 0.1}},
		Fit:     fitted(p, s),
	}
	if c.capacity > 0 {
		m.Row.CapacityAh = pointer(4.8 * (1 - x*(1-c.capacity)))
	}
	m.ACResistance1kHz = fit.NewValue(math.Hypot(real(p.Impedance(1000)), imag(p.Impedance(1000))), 8e-5)
	c.spoil(&m, k)
	return m
}

// spoil gives a measurement the fault that the course has at it.
func (c course) spoil(m *health.Measurement, k int) {
	switch k + 1 {
	case c.twoWire:
		m.Row.Sensing = "2-wire"
		m.Quality.Findings = append(m.Quality.Findings, health.Finding{Code: "two-wire", Severity: health.Warning,
			Touches: []job.Quantity{job.OhmicOhm, job.OhmicGrowth, job.TotalResistanceGrowth, job.ACResistance1kHzOhm},
			Message: "The leads are part of this measurement: it is two-wire, the baseline is four-wire.", Advice: "Measure again with four wires."})
	case c.rejected:
		m.Quality.Accepted = false
		m.Quality.Findings = append(m.Quality.Findings, health.Finding{Code: "drift", Severity: health.Reject,
			Message: "The consistency residual rises to 4.0 % below 0.1 Hz: the cell was not at rest.", Advice: "Let the cell rest for two hours and sweep again."})
	case c.unfitted:
		m.Fit = &fit.Result{Status: fit.TooFewPoints, Unresolved: map[fit.Element]string{fit.Ohmic: "too few points", fit.ChargeTransfer: "too few points"}}
		m.Quality.KramersKronig = nil
	}
}

// sweep computes a spectrum of 49 points from 10 kHz to 10 mHz with 0.1 % noise.
func sweep(p fit.Parameters, file string, random *rand.Rand) *spectrum.Spectrum {
	const points = 49
	s := &spectrum.Spectrum{File: file}
	for i := range points {
		f := 1e4 * math.Pow(10, -6*float64(i)/(points-1))
		z := p.Impedance(f)
		size := 0.001 * math.Hypot(real(z), imag(z))
		s.Frequency = append(s.Frequency, f)
		s.Impedance = append(s.Impedance, z+complex(size*random.NormFloat64(), size*random.NormFloat64()))
		s.Line = append(s.Line, i+2)
	}
	return s
}

func fitted(p fit.Parameters, s *spectrum.Spectrum) *fit.Result {
	relative := func(x, u float64) fit.Value { return fit.NewValue(x, x*u) }
	r := &fit.Result{Status: fit.Converged, Arcs: 1, Parameters: p, PointsUsed: len(s.Frequency) - 1,
		Excluded:   []fit.Exclusion{{Index: 0, FrequencyHz: s.Frequency[0], Reason: "inductive: Z'' exceeds 5 % of Z'"}},
		Inductance: relative(2.1e-7, 0.02), InductanceExponent: relative(p.LeadExponent, 0.01), Ohmic: relative(p.Ohmic, uOhmic),
		ChargeTransfer: relative(p.ChargeTransfer, uChargeTransfer), Polarisation: relative(p.ChargeTransfer+p.Film, 0.006),
		ChargeTransferTimeConstant: relative(p.ChargeTransferTimeConstant, 0.03), ChargeTransferExponent: relative(p.ChargeTransferExponent, 0.008),
		Warburg: relative(p.Diffusion, 0.04), DiffusionExponent: relative(p.DiffusionExponent, 0.02),
		RMSResidual: 0.0011, ChiSquare: 0.94, RunsZ: -0.4}
	if p.Film > 0 {
		r.Arcs, r.Film = 2, relative(p.Film, 0.09)
		r.Intervals = map[fit.Element]fit.Interval{fit.Film: {Lower: p.Film * 0.85, Upper: p.Film * 1.25}}
		r.FilmTimeConstant, r.FilmExponent = relative(p.FilmTimeConstant, 0.08), relative(p.FilmExponent, 0.02)
	} else {
		r.Unresolved = map[fit.Element]string{fit.Film: "one arc only: there is no film arc to tell apart"}
	}
	for i, f := range s.Frequency {
		z := p.Impedance(f)
		r.Fitted = append(r.Fitted, z)
		r.Residuals = append(r.Residuals, (s.Impedance[i]-z)/complex(math.Hypot(real(s.Impedance[i]), imag(s.Impedance[i])), 0))
	}
	return r
}

func digest(text string) string {
	d := sha256.Sum256([]byte(text))
	return hex.EncodeToString(d[:])
}
