package health

import (
	"math"
	"math/cmplx"
	"regexp"
	"slices"
	"testing"
	"time"

	"ohmledger/fit"
	"ohmledger/fit/kramerskronig"
	"ohmledger/fit/spectrum"
	"ohmledger/health/job"
)

// seen are the codes that all stages find in a measurement whose fit and baseline are given.
func seen(m Measurement, j *job.Job, f *footing) (codes []string) {
	m.Quality.KramersKronig = kramerskronig.Test(m.Spectrum)
	m.inspect(onReading, j, nil)
	m.inspect(onFit, j, nil)
	m.inspect(onComparing, j, f)
	for _, finding := range m.Quality.Findings {
		codes = append(codes, finding.Code)
	}
	return codes
}

// plant is a fault put into a measurement that has none.
type plant struct {
	code string
	in   func(m *Measurement, j *job.Job, f *footing)
}

func edited(edit func(z complex128, k int) complex128) func(*Measurement, *job.Job, *footing) {
	return func(m *Measurement, _ *job.Job, _ *footing) {
		for k, z := range m.Spectrum.Impedance {
			m.Spectrum.Impedance[k] = edit(z, k)
		}
	}
}

func noting(kind spectrum.NoteKind) func(*Measurement, *job.Job, *footing) {
	return func(m *Measurement, _ *job.Job, _ *footing) {
		m.Spectrum.Notes = []spectrum.Note{{Kind: kind, Text: "Something was settled."}}
	}
}

func rowed(edit func(r *job.Measurement)) func(*Measurement, *job.Job, *footing) {
	return func(m *Measurement, _ *job.Job, _ *footing) { edit(&m.Row) }
}

func ended(status fit.Status) func(*Measurement, *job.Job, *footing) {
	return func(m *Measurement, _ *job.Job, _ *footing) { m.Fit.Status = status }
}

var plants = []plant{
	{"points-out-of-order", noting(spectrum.OutOfOrder)},
	{"frequency-doubled", noting(spectrum.Doubled)},
	{"columns-mapped", noting(spectrum.Mapped)},
	{"two-wire-sensing", func(m *Measurement, _ *job.Job, f *footing) { m.Row.Sensing, f.sensing = "2-wire", "2-wire" }},
	{"sensing-unknown", rowed(func(r *job.Measurement) { r.Sensing = "" })},
	{"temperature-outside-range", rowed(func(r *job.Measurement) { r.TemperatureC = 40.1 })},
	{"temperature-outside-range", rowed(func(r *job.Measurement) { r.TemperatureC = 9.9 })},
	{"state-of-charge-off-target", func(m *Measurement, _ *job.Job, f *footing) {
		m.Row.SOCPercent, f.SOCPercent = pointer(56), pointer(56)
	}},
	{"state-of-charge-unknown", rowed(func(r *job.Measurement) { r.SOCPercent = nil })},
	{"rest-too-short", rowed(func(r *job.Measurement) { r.RestMinutes = pointer(29) })},
	{"rest-unknown", rowed(func(r *job.Measurement) { r.RestMinutes = nil })},
	{"calibration-expired", func(m *Measurement, j *job.Job, _ *footing) {
		j.Instrument.CalibrationDue = m.Row.MeasuredAt.AddDate(0, 0, -1)
	}},
	{"kramers-kronig-untested", func(m *Measurement, _ *job.Job, _ *footing) {
		m.Spectrum.Frequency, m.Spectrum.Impedance = m.Spectrum.Frequency[:7], m.Spectrum.Impedance[:7]
	}},
	{"sign-reversed", edited(func(z complex128, _ int) complex128 { return cmplx.Conj(z) })},
	{"kramers-kronig-violated", edited(func(z complex128, k int) complex128 { return z * complex(1+0.3*math.Sin(float64(k)), 0) })},
	{"kramers-kronig-doubtful", edited(func(z complex128, k int) complex128 {
		if k == 30 {
			return z * 1.12
		}
		return z
	})},
	{"kramers-kronig-doubtful", edited(func(z complex128, k int) complex128 { // a drift of 10 %, three periods a point
		return z * complex(1+0.10*math.Pow(10, float64(k-60)/10), 0)
	})},
	{"fit-impossible", ended(fit.TooFewPoints)},
	{"fit-impossible", ended(fit.NotComputable)},
	{"fit-not-converged", ended(fit.Stalled)},
	{"fit-not-converged", ended(fit.TooManySteps)},
	{"sensing-differs", func(_ *Measurement, _ *job.Job, f *footing) { f.sensing = "2-wire" }},
	{"state-of-charge-differs", func(_ *Measurement, _ *job.Job, f *footing) { f.SOCPercent = pointer(44) }},
	{"instrument-differs", func(m *Measurement, _ *job.Job, _ *footing) { m.Row.Instrument = "second bridge" }},
}

func faultless(seed uint64) (Measurement, *job.Job, *footing) {
	j := syntheticJob()
	j.Instrument.CalibrationDue = row("A", 0, 25).MeasuredAt
	m := Measurement{Row: row("A", 0, 25), Spectrum: sweep(fresh, 0.002, seed), Fit: &fit.Result{Status: fit.Converged}}
	return m, j, &footing{sensing: "4-wire", instrument: "bridge", Baseline: Baseline{SOCPercent: pointer(50)}}
}

func TestEveryFaultIsFoundAndNoOther(t *testing.T) {
	planted := map[string]bool{}
	for _, p := range plants {
		m, j, f := faultless(1)
		p.in(&m, j, f)
		planted[p.code] = true
		if got := seen(m, j, f); !slices.Equal(got, []string{p.code}) {
			t.Errorf("%s planted, found %q", p.code, got)
		}
	}
	word := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	for i, code := range FindingCodes() {
		if !planted[code] || !word.MatchString(code) || slices.Index(FindingCodes(), code) != i {
			t.Errorf("code %q is not planted, not kebab-case, or there twice", code)
		}
	}
}

func TestCleanSpectraRaiseNothing(t *testing.T) {
	for seed := range uint64(200) {
		m, j, f := faultless(seed)
		if got := seen(m, j, f); len(got) > 0 {
			t.Errorf("seed %d: %q", seed, got)
		}
	}
}

func TestAHighImpedanceNeedsNoFourWires(t *testing.T) {
	m, j, f := faultless(1)
	m.Row.Sensing, f.sensing = "2-wire", "2-wire"
	for i := range m.Spectrum.Impedance {
		m.Spectrum.Impedance[i] *= 1e6
	}
	if got := seen(m, j, f); len(got) > 0 {
		t.Errorf("%q", got)
	}
}

// The calibration date is that of the job's instrument.
func TestCalibrationOfAnotherInstrument(t *testing.T) {
	m, j, f := faultless(1)
	j.Instrument.CalibrationDue = m.Row.MeasuredAt.Add(-48 * time.Hour)
	m.Row.Instrument, f.instrument = "second bridge", "second bridge"
	if got := seen(m, j, f); len(got) > 0 {
		t.Errorf("%q", got)
	}
}

func TestAcceptanceByHand(t *testing.T) {
	q := Quality{Findings: []Finding{{Severity: Warning}, {Severity: Reject}, {Severity: Note}}}
	q.settle("")
	if q.Accepted {
		t.Error("a rejected spectrum counts")
	}
	q.settle("seen by the lead, contact was fine")
	if !q.Accepted || q.AcceptedByHand != "seen by the lead, contact was fine" {
		t.Errorf("%+v", q)
	}
	q = Quality{Findings: []Finding{{Severity: Warning}}}
	q.settle("no need")
	if !q.Accepted || q.AcceptedByHand != "" {
		t.Errorf("accepted by hand without need: %+v", q)
	}
}

// What follows from findings, as the rules say: leads leave the arc alone, temperature and charge touch all that is measured
// from the spectrum, nothing touches a capacity.
func TestWhatFindingsTouch(t *testing.T) {
	for _, c := range checks {
		leads := slices.Contains(c.touches, job.OhmicGrowth)
		arc := slices.Contains(c.touches, job.ChargeTransferGrowth)
		capacity := slices.Contains(c.touches, job.CapacityAh) || slices.Contains(c.touches, job.CapacityRetention)
		switch c.code {
		case "two-wire-sensing", "sensing-differs":
			if !leads || arc {
				t.Errorf("%s touches %v", c.code, c.touches)
			}
		case "temperature-outside-range", "state-of-charge-off-target", "state-of-charge-differs", "fit-not-converged":
			if !leads || !arc {
				t.Errorf("%s touches %v", c.code, c.touches)
			}
		default:
			if len(c.touches) > 0 {
				t.Errorf("%s touches %v", c.code, c.touches)
			}
		}
		if capacity {
			t.Errorf("%s touches a capacity", c.code)
		}
		if arc && !slices.Contains(c.touches, job.ResistanceStateOfHealth) || leads && !slices.Contains(c.touches, job.TotalResistanceGrowth) {
			t.Errorf("%s touches a part and not what rests on it: %v", c.code, c.touches)
		}
	}
}
