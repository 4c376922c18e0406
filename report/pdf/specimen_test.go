package pdf

import (
	"bytes"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	shared "ohmledger/report/internal/specimen"
)

// specimenJob is an invented job with every field of a report filled in.
func specimenJob() *job.Job {
	half := 50.
	return &job.Job{
		Report: job.Report{
			Number: "TCL-2026-041", Title: "State of health of stored traction cells",
			Customer: job.Customer{Name: "Heronby Storage Co-operative", Address: "3 Saltmarsh Road, Heronby", Reference: "Order HS-1187"},
			Item:     "Seven cylindrical cells, sealed, without visible damage", Received: day(2024, 3, 4), Tested: "2024-03-11 to 2026-03-18",
			Issued: day(2026, 4, 2), Remarks: "Cells were stored at the customer’s between measurements.", PreparedBy: "I. Marrable", AuthorisedBy: "Dr. O. Fenwick",
		},
		Laboratory: job.Laboratory{Name: "Tarnside Cell Laboratory", Address: "12 Weir Lane, Tarnside", Contact: "bench@tarnside.example", Accreditation: "Testing laboratory T-0417 (invented)"},
		Cell: job.CellType{Maker: "Ambrel", Model: "HX-50", Chemistry: "NMC/graphite", Format: "21700",
			NominalCapacityAh: 5, NominalVoltageV: 3.6, RatedACResistance1kHzOhm: 0.018},
		Conditions: job.Conditions{ReferenceTemperatureC: 25, TemperatureMinC: 15, TemperatureMaxC: 35, TemperatureUncertaintyC: 0.3,
			SOCPercent: &half, SOCTolerancePercent: 5, MinRestMinutes: 60},
		Instrument: job.Instrument{Name: "Bench analyser 2, inventory 0093", CalibrationDue: day(2026, 9, 30), RelativeUncertainty: 0.002, AbsoluteUncertaintyOhm: 2e-5},
		Baseline:   job.Baseline{Source: job.First},
		TemperatureCorrection: job.TemperatureCorrection{Source: job.CorrectionDeclared,
			Ohmic: &job.Stated{Value: 15, StandardUncertainty: 5}, ChargeTransfer: &job.Stated{Value: 55, StandardUncertainty: 6}},
		Limits: []job.Limit{
			{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 2},
			{Quantity: job.OhmicGrowth, Side: job.Max, Bound: 1.5},
		},
		DecisionRule: job.DecisionRule{Kind: job.Guarded, CoverageFactor: 2},
		Language:     "en", Table: "measurements.csv",
		Defaulted: []string{"conditions.soc_tolerance_percent", "instrument.relative_uncertainty", "instrument.absolute_uncertainty_ohm"},
		Sources:   []job.Source{{File: "job.yaml", SHA256: digest(1), Bytes: 1842}, {File: "measurements.csv", SHA256: digest(2), Bytes: 5310}},
	}
}

func day(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

func digest(seed int) string { return fmt.Sprintf("%064x", uint64(seed)*0x9E3779B97F4A7C15) }

// specimen is a document of so many cells with so many measurements each; ages spread over two years.
func specimen(t testing.TB, cells, ages int) *report.Document {
	t.Helper()
	a := &health.Assessment{Job: specimenJob(), Verdict: health.Fail}
	a.Temperature = health.Temperature{Source: job.CorrectionDeclared, Ohmic: fit.NewValue(15, 5), ChargeTransfer: fit.NewValue(55, 6)}
	list := make([]health.Cell, cells)
	for i := range list {
		list[i] = specimenCell(a.Job, i, ages)
		a.Counts = counted(a.Counts, list[i].Verdict)
	}
	a.Cells = health.CellsOf(list)
	return document(t, a)
}

func document(t testing.TB, a *health.Assessment) *report.Document {
	t.Helper()
	d, err := report.New(a, report.Options{Tool: report.Tool{Name: "ohmledger", Version: "0.2.0", Model: "1", Build: "test"}, Templates: os.DirFS("../../templates")})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func counted(n health.Counts, v health.Verdict) health.Counts {
	*[]*int{&n.NotEvaluated, &n.Pass, &n.ConditionalPass, &n.ConditionalFail, &n.Fail}[v]++
	return n
}

// fresh is an invented new cell of 5 Ah.
var fresh = fit.Parameters{
	LeadCoefficient: 2.2e-7, LeadExponent: 0.92, Ohmic: 0.0142,
	Film: 0.0023, FilmTimeConstant: 6e-4, FilmExponent: 0.82,
	ChargeTransfer: 0.0061, ChargeTransferTimeConstant: 0.04, ChargeTransferExponent: 0.86,
	Diffusion: 0.0011, DiffusionExponent: 0.5,
}

// worn is the fresh cell after a share of its life, 0 to 1, ageing faster the larger the pace.
func worn(share, pace float64) fit.Parameters {
	p := fresh
	p.Ohmic *= 1 + 0.2*pace*share
	p.Film *= 1 + 0.4*pace*share
	p.ChargeTransfer *= 1 + 0.6*pace*share
	p.ChargeTransferTimeConstant *= 1 + 0.3*share
	p.Diffusion *= 1 + 0.5*share
	return p
}

func specimenCell(j *job.Job, index, ages int) health.Cell {
	random := rand.New(rand.NewPCG(11, uint64(index)))
	c := health.Cell{Name: fmt.Sprintf("A-%03d", index+1), Arcs: 2, Latest: ages - 1,
		ArcsChoice: "Two arcs: their time constants are a factor of 60 apart."}
	pace := 0.7 + 0.35*float64(index%7)
	for i := range ages {
		share := float64(i) / math.Max(1, float64(ages-1))
		m := measured(worn(share, pace), random)
		m.Row = new(rowOf(c.Name, i, share, random))
		m.SHA256 = digest(100*index + i + 3)
		m.OhmicGrowth = grown(1+0.2*pace*share, 0.006, i)
		m.ChargeTransferGrowth = grown(1+0.6*pace*share, 0.03, i)
		c.Measurements = append(c.Measurements, m)
	}
	if ages == 0 {
		c.Reason, c.Baseline = "No accepted measurement.", health.Baseline{Source: j.Baseline.Source, Note: "No accepted measurement."}
		return c
	}
	c.Baseline = health.Baseline{Source: job.First, Ohmic: fit.NewValue(fresh.Ohmic, 5e-5), ChargeTransfer: fit.NewValue(fresh.ChargeTransfer, 1.2e-4),
		TemperatureC: 25.1, TemperatureUncertaintyC: 0.3, Measurements: []int{0}, Note: "One spectrum of 2024-03-11."}
	judge(&c, &c.Measurements[ages-1], index%7 == 4)
	return c
}

// judge holds a cell's latest growths against limits of 2.0 and 1.5.
func judge(c *health.Cell, m *health.Measurement, wiring bool) {
	c.Criteria = []health.Criterion{criterion(job.ChargeTransferGrowth, m.ChargeTransferGrowth, 2), criterion(job.OhmicGrowth, m.OhmicGrowth, 1.5)}
	c.Verdict, c.Reason = health.Pass, "Both ratios meet their limits by more than their expanded uncertainty."
	if c.Criteria[0].Verdict == health.Fail {
		c.Verdict, c.Reason = health.Fail, "The growth of the charge-transfer resistance exceeds its limit, less the guard band."
	}
	if wiring {
		nan := math.NaN()
		m.OhmicGrowth = health.Growth{Reason: "The baseline was measured with four-wire sensing, this with two wires."}
		c.Criteria[1] = health.Criterion{Quantity: job.OhmicGrowth, Limit: 1.5, Side: job.Max, Reason: m.OhmicGrowth.Reason,
			ExpandedUncertainty: nan, Lower: nan, Upper: nan, AcceptanceLimit: nan, ProbabilityOfConformity: nan}
		if c.Verdict == health.Pass {
			c.Verdict, c.Reason = health.NotEvaluated, "The ohmic resistance could not be compared: two-wire sensing against a four-wire baseline."
		}
		m.Quality.Findings = append(m.Quality.Findings, health.Finding{Code: "sensing-changed", Severity: health.Warning, Touches: []job.Quantity{job.OhmicGrowth},
			Message: "The cell was measured with two wires, its baseline with four: the leads add about 12 mΩ to the ohmic resistance.",
			Advice:  "Measure again with four-wire sensing, the sense clips on the tabs."})
	}
}

func criterion(q job.Quantity, g health.Growth, limit float64) health.Criterion {
	v, u := g.Ratio.Estimate(), g.LogU
	k := health.Criterion{Quantity: q, Value: g.Ratio, ExpandedUncertainty: 2 * v * u, Lower: v * math.Exp(-2*u), Upper: v * math.Exp(2*u),
		Limit: limit, Side: job.Max, AcceptanceLimit: limit * math.Exp(-2*u), Verdict: health.Pass, Contributions: g.Contributions,
		ProbabilityOfConformity: math.Erfc((math.Log(v)-math.Log(limit))/math.Max(u, 1e-9)/math.Sqrt2) / 2,
		Reason:                  "The value meets the limit by more than its expanded uncertainty."}
	if v > k.AcceptanceLimit {
		k.Verdict, k.Reason = health.Fail, "The value exceeds the acceptance limit, which is the limit less the guard band."
	}
	return k
}

func grown(ratio, u float64, age int) health.Growth {
	if age == 0 {
		return health.Growth{Ratio: fit.NewValue(1, 0)}
	}
	return health.Growth{Ratio: fit.NewValue(ratio, ratio*u), LogU: u, Contributions: []health.Contribution{
		{Source: "fit of this spectrum", U: u * 0.8, Share: 0.64}, {Source: "fit of the baseline", U: u * 0.4, Share: 0.16},
		{Source: "cell temperature", U: u * 0.4, Share: 0.16}, {Source: "activation energy", U: u * 0.2, Share: 0.04},
	}}
}

func rowOf(cell string, age int, share float64, random *rand.Rand) job.Measurement {
	soc, cycles := 50., math.Round(620*share)
	return job.Measurement{Cell: cell, File: fmt.Sprintf("spectra/%s_%02d.csv", cell, age+1),
		MeasuredAt: day(2024, 3, 11).AddDate(0, 0, int(share*737)), TemperatureC: 25 + math.Round(random.NormFloat64()*8)/10, TemperatureUncertaintyC: 0.3,
		SOCPercent: &soc, Cycles: &cycles, Sensing: "4-wire", Instrument: "bench 2", Fixture: "holder B", Operator: "I. M."}
}

// measured is a spectrum of a circuit from 10 kHz to 10 mHz, ten points a decade, with its fit.
func measured(p fit.Parameters, random *rand.Rand) health.Measurement {
	m := health.Measurement{Spectrum: &spectrum.Spectrum{}, Quality: health.Quality{Accepted: true}}
	r := &fit.Result{Status: fit.Converged, Arcs: 2, Parameters: p, RMSResidual: 0.0012, ChiSquare: 1.1, RunsZ: -0.4}
	kk := &kramerskronig.Result{TimeConstants: 22, Mu: 0.8, RMSResidual: 0.001, MaxResidual: 0.003}
	for i := range 61 {
		f := math.Pow(10, 4-float64(i)/10)
		model := p.Impedance(f)
		noise := complex(random.NormFloat64(), random.NormFloat64()) * complex(0.0012*cmplx.Abs(model), 0)
		m.Spectrum.Frequency, m.Spectrum.Impedance = append(m.Spectrum.Frequency, f), append(m.Spectrum.Impedance, model+noise)
		r.Fitted, r.Residuals = append(r.Fitted, model), append(r.Residuals, noise/complex(cmplx.Abs(model), 0))
		kk.Residuals = append(kk.Residuals, noise/complex(cmplx.Abs(model), 0)*0.8)
		if f > 5000 {
			r.Excluded = append(r.Excluded, fit.Exclusion{Index: i, FrequencyHz: f, Reason: "inductive branch"})
		}
	}
	r.PointsUsed = 61 - len(r.Excluded)
	r.Ohmic, r.Film, r.ChargeTransfer = near(p.Ohmic, 0.003), near(p.Film, 0.05), near(p.ChargeTransfer, 0.02)
	r.ChargeTransferTimeConstant, r.ChargeTransferExponent = near(p.ChargeTransferTimeConstant, 0.03), near(p.ChargeTransferExponent, 0.006)
	r.FilmTimeConstant, r.FilmExponent = near(p.FilmTimeConstant, 0.05), near(p.FilmExponent, 0.02)
	r.Inductance, r.InductanceExponent, r.Warburg = near(1.1e-7, 0.04), near(p.LeadExponent, 0.01), near(p.Diffusion, 0.03)
	r.DiffusionExponent = near(p.DiffusionExponent, 0.02)
	m.Fit, m.Quality.KramersKronig = r, kk
	return m
}

func near(x, relative float64) fit.Value { return fit.NewValue(x, x*relative) }

// written is the PDF of a document.
func bytesOf(t testing.TB, o Options, d *report.Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := o.Write(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestReportsForTheEye writes reports into the folder that OHMLEDGER_REPORTS names.
func TestReportsForTheEye(t *testing.T) {
	folder := os.Getenv("OHMLEDGER_REPORTS")
	if folder == "" {
		t.Skip("set OHMLEDGER_REPORTS to a folder to have reports written there")
	}
	for name, d := range variants(t) {
		if err := os.WriteFile(fmt.Sprintf("%s/%s.pdf", folder, name), bytesOf(t, Options{Cells: selectionOf(name), Logo: logoOf(t, 64, 24)}, d), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func selectionOf(name string) Selection {
	if name == "lot" || name == "delivery" {
		return NoCells
	}
	return AllCells
}

// blank is a document of a job that states nothing.
func blank(t testing.TB) *report.Document {
	d := specimen(t, 1, 2)
	*d.Assessment.Job = job.Job{Language: "en", DecisionRule: job.DecisionRule{Kind: job.Guarded, CoverageFactor: 2},
		Baseline: job.Baseline{Source: job.First}, TemperatureCorrection: job.TemperatureCorrection{Source: job.CorrectionNone}}
	return document(t, d.Assessment)
}

// variants are documents of every kind.
func variants(t testing.TB) map[string]*report.Document {
	hostile, wordy := specimen(t, 5, 3), specimen(t, 5, 3)
	everyText(hostile, hostileText)
	everyText(wordy, strings.Repeat("A quite long remark on the state of the cells, ", 4)+"Donaudampfschifffahrtsgesellschaft")
	rules := map[string]*report.Document{
		"hostile": hostile, "wordy": wordy,
		"single": specimen(t, 1, 1), "seven": specimen(t, 7, 8), "blank": blank(t),
		"long": specimen(t, 1, 60), "lot": specimen(t, 150, 1), "delivery": delivery(t), "empty": document(t, shared.Empty()),
	}
	for _, rule := range shared.Rules {
		rules[string(rule.Kind)] = document(t, shared.Assessment(rule))
	}
	accented := specimen(t, 3, 4)
	accented.Assessment.Job.Laboratory.Accent = "#8a3b12"
	rules["accented"] = accented
	return rules
}
