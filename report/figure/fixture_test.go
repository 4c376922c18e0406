package figure

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// sketchDocument is a document without cells, its words those that the tool ships.
func sketchDocument(t testing.TB, language string) *report.Document {
	t.Helper()
	d, err := report.New(&health.Assessment{Job: &job.Job{
		Language:     language,
		DecisionRule: job.DecisionRule{Kind: job.Guarded, CoverageFactor: 2},
		Limits: []job.Limit{
			{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 2},
			{Quantity: job.OhmicGrowth, Side: job.Max, Bound: 1.5},
		},
	}}, report.Options{Templates: os.DirFS("../../templates")})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// newcomer is an invented new cell of 5 Ah: two arcs, a diffusion tail and leads.
var newcomer = fit.Parameters{
	LeadCoefficient: 2.2e-7, LeadExponent: 0.92, Ohmic: 0.0142,
	Film: 0.0023, FilmTimeConstant: 6e-4, FilmExponent: 0.82,
	ChargeTransfer: 0.0061, ChargeTransferTimeConstant: 0.04, ChargeTransferExponent: 0.86,
	Diffusion: 0.0011, DiffusionExponent: 0.5,
}

// aged is the newcomer after a share of its life, 0 to 1.
func aged(share float64) fit.Parameters {
	p := newcomer
	p.Ohmic *= 1 + 0.28*share
	p.Film *= 1 + 0.5*share
	p.ChargeTransfer *= 1 + 0.95*share*share + 0.1*share
	p.ChargeTransferTimeConstant *= 1 + 0.4*share
	p.Diffusion *= 1 + 0.5*share
	return p
}

// sketchCell is a cell with so many ages over two years.
func sketchCell(ages int) *health.Cell {
	random := rand.New(rand.NewPCG(7, uint64(ages)))
	cell := &health.Cell{Name: "A-003", Arcs: 2, Latest: ages - 1, Verdict: health.Pass}
	start := time.Date(2024, 3, 11, 9, 30, 0, 0, time.UTC)
	for i := range ages {
		share := 0.
		if ages > 1 {
			share = float64(i) / float64(ages-1)
		}
		m := sketchMeasurement(aged(share), random)
		m.Row.Cell, m.Row.MeasuredAt = cell.Name, start.AddDate(0, 0, int(share*740)+random.IntN(3))
		m.Row.TemperatureC = 25 + random.NormFloat64()*0.3
		m.OhmicGrowth = sketchGrowth(aged(share).Ohmic/newcomer.Ohmic, 0.006, i, random)
		m.ChargeTransferGrowth = sketchGrowth(aged(share).ChargeTransfer/newcomer.ChargeTransfer, 0.03, i, random)
		cell.Measurements = append(cell.Measurements, m)
	}
	cell.Baseline = health.Baseline{Source: job.First, Measurements: []int{0}}
	if ages > 0 {
		last := &cell.Measurements[ages-1]
		cell.Criteria = []health.Criterion{
			sketchCriterion(job.ChargeTransferGrowth, last.ChargeTransferGrowth, 2),
			sketchCriterion(job.OhmicGrowth, last.OhmicGrowth, 1.5),
		}
	}
	return cell
}

func sketchGrowth(ratio, logU float64, i int, random *rand.Rand) health.Growth {
	if i == 0 {
		return health.Growth{Ratio: fit.NewValue(1, 0)}
	}
	ratio *= math.Exp(logU * 0.6 * random.NormFloat64())
	return health.Growth{Ratio: fit.NewValue(ratio, ratio*logU), LogU: logU}
}

func sketchCriterion(q job.Quantity, g health.Growth, limit float64) health.Criterion {
	v, u := g.Ratio.Estimate(), g.LogU
	c := health.Criterion{Quantity: q, Value: g.Ratio, ExpandedUncertainty: 2 * v * u, Lower: v * math.Exp(-2*u),
		Upper: v * math.Exp(2*u), Limit: limit, Side: job.Max, AcceptanceLimit: limit * math.Exp(-2*u), Verdict: health.Pass}
	if v > c.AcceptanceLimit {
		c.Verdict = health.Fail
	}
	return c
}

// sketchMeasurement measures a circuit from 10 kHz to 10 mHz, ten points a decade, with noise; of the
// inductive branch the fit uses no point beyond 5 kHz.
func sketchMeasurement(p fit.Parameters, random *rand.Rand) health.Measurement {
	m := health.Measurement{Row: &job.Measurement{}, Spectrum: &spectrum.Spectrum{}, Quality: health.Quality{Accepted: true}}
	r := &fit.Result{Status: fit.Converged, Arcs: 2, Parameters: p}
	kk := &kramerskronig.Result{TimeConstants: 22, Mu: 0.8}
	for i := range 61 {
		f := math.Pow(10, 4-float64(i)/10)
		model := p.Impedance(f)
		noise := complex(random.NormFloat64(), random.NormFloat64()) * complex(0.0012*cmplx.Abs(model), 0)
		z := model + noise
		m.Spectrum.Frequency = append(m.Spectrum.Frequency, f)
		m.Spectrum.Impedance = append(m.Spectrum.Impedance, z)
		r.Fitted = append(r.Fitted, model)
		r.Residuals = append(r.Residuals, (z-model)/complex(cmplx.Abs(z), 0))
		kk.Residuals = append(kk.Residuals, (z-model)/complex(cmplx.Abs(z), 0)*0.8)
		if f > 5000 {
			r.Excluded = append(r.Excluded, fit.Exclusion{Index: i, FrequencyHz: f, Reason: "inductive"})
		}
	}
	r.PointsUsed = 61 - len(r.Excluded)
	r.RMSResidual, kk.RMSResidual, kk.MaxResidual = 0.0012, 0.0010, 0.003
	r.Ohmic, r.ChargeTransfer = fit.NewValue(p.Ohmic, p.Ohmic*0.003), fit.NewValue(p.ChargeTransfer, p.ChargeTransfer*0.02)
	r.Film = fit.NewValue(p.Film, p.Film*0.05)
	r.ChargeTransferTimeConstant = fit.NewValue(p.ChargeTransferTimeConstant, p.ChargeTransferTimeConstant*0.03)
	r.ChargeTransferExponent, r.FilmExponent = fit.NewValue(p.ChargeTransferExponent, 0.004), fit.NewValue(p.FilmExponent, 0.02)
	r.FilmTimeConstant = fit.NewValue(p.FilmTimeConstant, p.FilmTimeConstant*0.08)
	r.Inductance, r.InductanceExponent = fit.NewValue(1.1e-7, 3e-9), fit.NewValue(p.LeadExponent, 0.011)
	r.Warburg, r.DiffusionExponent = fit.NewValue(p.Diffusion, 2e-5), fit.NewValue(p.DiffusionExponent, 0)
	m.Fit, m.Quality.KramersKronig = r, kk
	return m
}

// TestFiguresForTheEye writes the figures as PNG and SVG into the folder that OHMLEDGER_FIGURES names.
func TestFiguresForTheEye(t *testing.T) {
	folder := os.Getenv("OHMLEDGER_FIGURES")
	if folder == "" {
		t.Skip("set OHMLEDGER_FIGURES to a folder to have the figures written there")
	}
	d := sketchDocument(t, "en")
	for _, ages := range []int{1, 7, 60} {
		for i, f := range sketchFigures(d, sketchCell(ages)) {
			name := fmt.Sprintf("%s/%02d-%d-%s", folder, ages, i, f.Name)
			writeTo(t, name+".png", func(w *os.File) error { return WritePNG(w, f) })
			writeTo(t, name+".svg", func(w *os.File) error { return WriteSVG(w, f) })
			t.Logf("%s: %s", f.Name, f.Caption)
		}
	}
}

func writeTo(t *testing.T, name string, write func(*os.File) error) {
	t.Helper()
	w, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := write(w); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
}

func sketchFigures(d *report.Document, cell *health.Cell) []Figure {
	list := []Figure{Nyquist(d, cell), Growth(d, cell, "days"), Residuals(d, cell), Bode(d, cell)}
	for i := range cell.Criteria {
		list = append(list, NumberLine(d, cell, i))
	}
	for _, m := range cell.Measurements[:min(len(cell.Measurements), 1)] {
		list = append(list, Circuit(d, cell.Name, m.Fit))
	}
	return list
}
