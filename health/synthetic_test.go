package health

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"ohmledger/fit"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// The invented cells of these tests: a 20 mΩ cell with one arc of 15 mΩ, measured from 10 kHz to 10 mHz.

// fresh is the cell when new, at 25 °C. Its diffusion has the Warburg coefficient 1.5 mΩ/√s.
var fresh = fit.Parameters{
	LeadCoefficient: 2e-7, LeadExponent: 1, Ohmic: 0.020,
	ChargeTransfer: 0.015, ChargeTransferTimeConstant: 0.0125, ChargeTransferExponent: 0.8,
	Diffusion: 0.0015 * math.Sqrt2, DiffusionExponent: 0.5,
}

// aged returns the cell with its resistances multiplied.
func aged(p fit.Parameters, ohmic, chargeTransfer float64) fit.Parameters {
	p.Ohmic *= ohmic
	p.ChargeTransfer *= chargeTransfer
	p.ChargeTransferTimeConstant *= chargeTransfer
	return p
}

// warmed returns the cell at a temperature, with the activation energies of syntheticJob.
func warmed(p fit.Parameters, celsius float64) fit.Parameters {
	x := 1/(celsius+273.15) - 1/298.15
	return aged(p, math.Exp(12e3/8.31446261815324*x), math.Exp(50e3/8.31446261815324*x))
}

// sweep is the spectrum of a cell, ten points a decade, each part with noise of a relative standard deviation.
func sweep(p fit.Parameters, noise float64, seed uint64) *spectrum.Spectrum {
	random := rand.New(rand.NewPCG(seed, 7))
	s := &spectrum.Spectrum{File: "spectra/synthetic.csv"}
	for k := 40; k >= -20; k-- {
		f := math.Pow(10, float64(k)/10)
		z := p.Impedance(f)
		size := noise * math.Hypot(real(z), imag(z))
		s.Frequency = append(s.Frequency, f)
		s.Impedance = append(s.Impedance, z+complex(size*random.NormFloat64(), size*random.NormFloat64()))
		s.Line = append(s.Line, 42-k)
	}
	return s
}

func pointer(x float64) *float64 { return &x }

func syntheticJob() *job.Job {
	return &job.Job{
		Conditions: job.Conditions{ReferenceTemperatureC: 25, TemperatureMinC: 10, TemperatureMaxC: 40,
			TemperatureUncertaintyC: 0.3, SOCPercent: pointer(50), SOCTolerancePercent: 5, MinRestMinutes: 30},
		Instrument: job.Instrument{Name: "bridge", CalibrationDue: time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC), RelativeUncertainty: 0.002, AbsoluteUncertaintyOhm: 2e-5},
		Baseline:   job.Baseline{Source: job.First},
		TemperatureCorrection: job.TemperatureCorrection{Source: job.CorrectionDeclared,
			Ohmic: &job.Stated{Value: 12, StandardUncertainty: 3}, ChargeTransfer: &job.Stated{Value: 50, StandardUncertainty: 5}},
		Limits: []job.Limit{
			{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 2},
			{Quantity: job.OhmicGrowth, Side: job.Max, Bound: 1.5},
		},
		DecisionRule: job.DecisionRule{Kind: job.Guarded, CoverageFactor: 2},
	}
}

// row is a measurement so many days after the first, with nothing to find fault with.
func row(cell string, days int, celsius float64) job.Measurement {
	return job.Measurement{
		Cell: cell, File: fmt.Sprintf("spectra/%s-%d.csv", cell, days),
		MeasuredAt:   time.Date(2024, 3, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, days),
		TemperatureC: celsius, TemperatureUncertaintyC: 0.3,
		SOCPercent: pointer(50), RestMinutes: pointer(60), Sensing: "4-wire",
	}
}

// bench collects the measurements of a synthetic job.
type bench struct {
	job     *job.Job
	inputs  []Input
	fixture *spectrum.Spectrum
	cells   []*specimen // tested and fitted, where judged keeps them
}

func newBench() *bench { return &bench{job: syntheticJob()} }

// add measures a cell as it is at the row's temperature; p is the cell at 25 °C.
func (b *bench) add(p fit.Parameters, r job.Measurement) *bench {
	r.Line = len(b.inputs) + 2
	b.inputs = append(b.inputs, Input{&r, sweep(warmed(p, r.TemperatureC), 0.001, uint64(len(b.inputs))), "digest"})
	return b
}

func (b *bench) assess(t *testing.T) *Assessment {
	t.Helper()
	b.job.Measurements = nil
	for _, in := range b.inputs {
		b.job.Measurements = append(b.job.Measurements, *in.Row)
	}
	a, err := Assess(context.Background(), Evidence{Job: b.job, Inputs: b.inputs, Fixture: b.fixture, Phrase: english(t)}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g", what, got, want, tolerance)
	}
}

// A fitted measurement is one whose fit is given, so that what follows from it can be reckoned by hand.
type given struct {
	row                   job.Measurement
	ohmic, chargeTransfer fit.Value
}

// fittedCell is a specimen of one arc with given fits and the covariances that go with them.
func fittedCell(correlation float64, of ...given) *specimen {
	s := &specimen{Cell: &Cell{Name: of[0].row.Cell, Latest: -1, Arcs: 1}}
	for _, g := range of {
		r := &fit.Result{Status: fit.Converged, Arcs: 1, Ohmic: g.ohmic, ChargeTransfer: g.chargeTransfer, Polarisation: g.chargeTransfer}
		s.Measurements = append(s.Measurements, Measurement{Row: &g.row, Fit: r, Quality: Quality{Accepted: true}, Spectrum: &spectrum.Spectrum{}})
	}
	s.logs = func(i, j int, e fit.Element) float64 {
		c := s.Measurements[i].Fit.Resistance(e).Relative() * s.Measurements[j].Fit.Resistance(e).Relative()
		if i != j {
			c *= correlation
		}
		return c
	}
	return s
}

// founded gives specimens their grounds and baselines.
func founded(j *job.Job, cells ...*specimen) grounds {
	g, _ := grounds{job: j}.correct(cells)
	g.found(cells, cells)
	return g
}
