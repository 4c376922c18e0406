package figure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// FuzzFigures states the law of all figures: whatever a cell holds, drawing does not panic, every coordinate is
// a number, and nothing leaves the canvas.
func FuzzFigures(f *testing.F) {
	for seed := range uint64(60) {
		f.Add(seed)
	}
	f.Add(uint64(588)) // a guard band mirrored far beyond the strip
	d := sketchDocument(f, "en")
	f.Fuzz(func(t *testing.T, seed uint64) {
		random := rand.New(rand.NewPCG(seed, 3))
		d.Assessment.Job.DecisionRule = job.DecisionRule{
			Kind:           []job.DecisionRuleKind{job.Simple, job.Guarded, job.FourWay}[random.IntN(3)],
			CoverageFactor: []float64{2, 0, math.NaN(), 1e9}[random.IntN(4)],
		}
		cell := oddCell(random)
		for _, figure := range oddFigures(d, cell) {
			if figure.Caption == "" || figure.Name == "" || !(figure.Width > 0 && figure.Height > 0 && figure.Height < 250) {
				t.Errorf("%q, %q, %v × %v mm", figure.Name, figure.Caption, figure.Width, figure.Height)
			}
			c := drawn(figure)
			for _, fault := range c.faults {
				t.Errorf("seed %d, %s: %s", seed, figure.Name, fault)
				break
			}
			if len(c.texts) == 0 {
				t.Errorf("seed %d, %s: nothing written", seed, figure.Name)
			}
		}
	})
}

func oddFigures(d *report.Document, cell *health.Cell) []Figure {
	list := sketchFigures(d, cell)
	for _, against := range []string{"cycles", "throughput_ah", "no such thing"} {
		list = append(list, Growth(d, cell, against))
	}
	for i := range cell.Measurements[:min(3, len(cell.Measurements))] {
		list = append(list, Circuit(d, fmt.Sprint(i), cell.Measurements[i].Fit))
	}
	return list
}

// oddNumber is an ordinary number most of the time.
func oddNumber(random *rand.Rand) float64 {
	odd := []float64{0, math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300, 1e-300, math.MaxFloat64, 1e99, -1, math.SmallestNonzeroFloat64}
	if random.IntN(12) == 0 {
		return odd[random.IntN(len(odd))]
	}
	return random.NormFloat64() * math.Pow(10, float64(random.IntN(8)-4))
}

func oddPointer(random *rand.Rand) *float64 {
	if random.IntN(3) == 0 {
		return nil
	}
	v := oddNumber(random)
	return &v
}

func oddValue(random *rand.Rand) fit.Value {
	v, u := oddNumber(random), math.Abs(oddNumber(random))
	if random.IntN(6) == 0 || math.IsNaN(v+u) || math.IsInf(v+u, 0) {
		return fit.Value{}
	}
	return fit.NewValue(v, u)
}

func oddCell(random *rand.Rand) *health.Cell {
	cell := &health.Cell{Name: []string{"A-003", "", "Zelle Ω 🔋 " + string(rune(random.IntN(70000)))}[random.IntN(3)]}
	for range []int{0, 1, 2, 9, 40}[random.IntN(5)] {
		cell.Measurements = append(cell.Measurements, oddMeasurement(random))
	}
	cell.Latest = random.IntN(len(cell.Measurements)+2) - 1
	for range random.IntN(4) {
		cell.Baseline.Measurements = append(cell.Baseline.Measurements, random.IntN(5))
	}
	for range random.IntN(5) {
		cell.Criteria = append(cell.Criteria, health.Criterion{
			Quantity: job.Quantities[random.IntN(len(job.Quantities))], Value: oddValue(random), Limit: oddNumber(random),
			ExpandedUncertainty: oddNumber(random), Lower: oddNumber(random), Upper: oddNumber(random),
			Side: []job.Side{job.Max, job.Min}[random.IntN(2)], AcceptanceLimit: oddNumber(random),
		})
	}
	return cell
}

func oddMeasurement(random *rand.Rand) health.Measurement {
	m := health.Measurement{Row: &job.Measurement{}}
	if random.IntN(4) > 0 {
		m = sketchMeasurement(aged(random.Float64()), random)
	} else if random.IntN(2) > 0 {
		m.Spectrum = &spectrum.Spectrum{}
		for range random.IntN(20) {
			m.Spectrum.Frequency = append(m.Spectrum.Frequency, oddNumber(random))
			m.Spectrum.Impedance = append(m.Spectrum.Impedance, complex(oddNumber(random), oddNumber(random)))
		}
		m.Quality.KramersKronig = &kramerskronig.Result{Residuals: make([]complex128, random.IntN(30)), RMSResidual: oddNumber(random)}
	}
	m.Quality.Accepted = random.IntN(4) > 0
	m.Row = &job.Measurement{
		MeasuredAt: time.Date(2024, 1, 1+random.IntN(900)*random.IntN(2), random.IntN(24), 0, 0, 0, time.UTC), HasTime: random.IntN(2) == 0,
		TemperatureC: oddNumber(random), SOCPercent: oddPointer(random), Cycles: oddPointer(random), ThroughputAh: oddPointer(random),
	}
	if random.IntN(10) == 0 {
		m.Row.MeasuredAt = time.Time{}
	}
	for _, g := range []*health.Growth{&m.OhmicGrowth, &m.ChargeTransferGrowth, &m.TotalGrowth} {
		*g = health.Growth{Ratio: oddValue(random), LogU: oddNumber(random), Reason: []string{"", "a reason that goes on and on, far beyond what any figure of this width could hold in one line, or two, or three, and still does not end"}[random.IntN(2)]}
	}
	if m.Fit != nil {
		spoil(m.Fit, random)
	}
	return m
}

// spoil puts odd numbers into a fit.
func spoil(r *fit.Result, random *rand.Rand) {
	r.Status = fit.Status(random.IntN(6))
	r.Arcs = random.IntN(4)
	for _, p := range []*float64{&r.Parameters.Ohmic, &r.Parameters.Film, &r.Parameters.Diffusion, &r.Parameters.ChargeTransfer,
		&r.Parameters.LeadCoefficient, &r.Parameters.LeadExponent, &r.RMSResidual} {
		if random.IntN(5) == 0 {
			*p = oddNumber(random)
		}
	}
	for _, v := range []*fit.Value{&r.Ohmic, &r.Film, &r.ChargeTransfer, &r.Inductance, &r.Warburg, &r.DiffusionExponent} {
		if random.IntN(3) == 0 {
			*v = oddValue(random)
		}
	}
	for range random.IntN(70) {
		r.Excluded = append(r.Excluded, fit.Exclusion{Index: random.IntN(80)})
	}
	if len(r.Residuals) > 0 && random.IntN(2) == 0 {
		r.Residuals[random.IntN(len(r.Residuals))] = complex(oddNumber(random), oddNumber(random))
	}
}
