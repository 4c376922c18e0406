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

// inspected is a measurement after all stages, whose fit and baseline are given.
func inspected(g grounds, m Measurement, f *footing) Quality {
	m.Quality.KramersKronig = kramerskronig.Test(m.Spectrum)
	s := &specimen{Cell: &Cell{Measurements: []Measurement{m}}, twins: make([]*twin, 1), steps: []step{{from: -1}}}
	p := &past{specimen: s}
	for at := onReading; at <= onComparing; at++ {
		g.inspect(&m, at, p, f)
	}
	return m.Quality
}

// codesOf are the codes of what is then found.
func codesOf(m Measurement, j *job.Job, f *footing) (codes []string) {
	for _, finding := range inspected(grounds{job: j}, m, f).Findings {
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
	return func(m *Measurement, _ *job.Job, _ *footing) { edit(m.Row) }
}

func ended(status fit.Status) func(*Measurement, *job.Job, *footing) {
	return func(m *Measurement, _ *job.Job, _ *footing) { m.Fit.Status = status }
}

var plants = []plant{
	{"points-out-of-order", noting(spectrum.OutOfOrder)},
	{"frequency-doubled", func(m *Measurement, _ *job.Job, _ *footing) {
		s := m.Spectrum
		s.Frequency, s.Impedance = append(s.Frequency, s.Frequency[60]), append(s.Impedance, s.Impedance[60])
	}},
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
	{"calibration-unknown", func(_ *Measurement, j *job.Job, _ *footing) { j.Instrument.CalibrationDue = time.Time{} }},
	{"capacity-implausible", rowed(func(r *job.Measurement) { r.CapacityAh = pointer(2500) })},
	{"capacity-implausible", func(_ *Measurement, j *job.Job, _ *footing) {
		j.Cell.NominalCapacityAh, j.Cell.RatedACResistance1kHzOhm = 2500, 0.02
	}},
	{"capacity-implausible", rowed(func(r *job.Measurement) { r.CapacityAh = pointer(0.0025) })},
	{"excitation-implausible", rowed(func(r *job.Measurement) { r.AmplitudeV = pointer(10) })},
	{"excitation-implausible", func(m *Measurement, j *job.Job, _ *footing) {
		m.Row.AmplitudeA, j.Cell.RatedACResistance1kHzOhm = pointer(250), 0.02
	}},
	{"kramers-kronig-untested", func(m *Measurement, _ *job.Job, _ *footing) {
		m.Spectrum.Frequency, m.Spectrum.Impedance = m.Spectrum.Frequency[:7], m.Spectrum.Impedance[:7]
	}},
	{"sign-reversed", edited(func(z complex128, _ int) complex128 { return cmplx.Conj(z) })},
	{"kramers-kronig-violated", edited(func(z complex128, k int) complex128 { return z * complex(1+0.3*math.Sin(float64(k)), 0) })},
	{"points-off", edited(func(z complex128, k int) complex128 {
		if k == 36 {
			return z * 1.12
		}
		return z
	})},
	{"drift-during-sweep", edited(func(z complex128, k int) complex128 { // of 10 %, three periods a point
		return z * complex(1+0.10*math.Pow(10, float64(k-60)/10), 0)
	})},
	{"fit-impossible", ended(fit.TooFewPoints)},
	{"fit-impossible", ended(fit.NotComputable)},
	{"fit-not-converged", ended(fit.Stalled)},
	{"fit-not-converged", ended(fit.TooManySteps)},
	{"sensing-differs", func(_ *Measurement, _ *job.Job, f *footing) { f.sensing = "2-wire" }},
	{"state-of-charge-differs", func(_ *Measurement, _ *job.Job, f *footing) { f.SOCPercent = pointer(44) }},
	{"fixture-differs", func(m *Measurement, _ *job.Job, _ *footing) { m.Row.Fixture = "second fixture" }},
	{"potentiostatic-at-milliohm", rowed(func(r *job.Measurement) { r.Control = "potentiostatic" })},
	{"arc-unresolved", func(m *Measurement, _ *job.Job, _ *footing) { m.Fit.Polarisation = fit.Value{} }},
	{"ohmic-unresolved", func(m *Measurement, _ *job.Job, _ *footing) {
		m.Fit.Ohmic = fit.Value{}
		m.Fit.Because = map[fit.Element]fit.Statement{fit.Ohmic: {Code: "unresolved-uncertain", Facts: []fit.Fact{{Name: "uncertainty", Value: 0.4, Fraction: true}}}}
	}},
	{"ac-resistance-inductive", edited(func(z complex128, k int) complex128 { // 1 µH, as seen from 0.2 µH
		return z + complex(0, 2*math.Pi*math.Pow(10, float64(40-k)/10)*0.8e-6)
	})},
	{"magnitude-implausible", func(_ *Measurement, j *job.Job, _ *footing) { j.Cell.RatedACResistance1kHzOhm = 20 }},
	{"fixture-corrected", func(m *Measurement, _ *job.Job, _ *footing) {
		m.Fixture = &Fixture{Source: "stated", Resistance: ohm(0.04, 0.01)}
		m.Row.Sensing = "2-wire"
	}},
	{"instrument-coarse", func(_ *Measurement, j *job.Job, _ *footing) { j.Instrument.AbsoluteUncertaintyOhm = 1.5e-3 }},
	{"instrument-coarse", func(_ *Measurement, j *job.Job, f *footing) { // 2 % of 20 mΩ against the room from 20 to 21 mΩ
		j.Instrument.RelativeUncertainty, f.Ohmic = 0.02, ohm(0.020, 0.01)
		j.Limits = []job.Limit{{Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.021}}
	}},
	{"instrument-differs", func(m *Measurement, _ *job.Job, _ *footing) { m.Row.Instrument = "second bridge" }},
}

func faultless(seed uint64) (Measurement, *job.Job, *footing) {
	j := syntheticJob()
	j.Instrument.CalibrationDue = row("A", 0, 25).MeasuredAt
	f := &fit.Result{Status: fit.Converged, Ohmic: ohm(0.020, 0.01), ChargeTransfer: ohm(0.015, 0.01), Polarisation: ohm(0.015, 0.01)}
	m := Measurement{Row: new(row("A", 0, 25)), Spectrum: sweep(fresh, 0.002, seed), Fit: f}
	return m, j, &footing{sensing: "4-wire", instrument: "bridge", fixture: "first fixture", Baseline: Baseline{SOCPercent: pointer(50)}}
}

func TestEveryFaultIsFoundAndNoOther(t *testing.T) {
	planted := map[string]bool{}
	for _, p := range plants {
		m, j, f := faultless(1)
		p.in(&m, j, f)
		planted[p.code] = true
		if got := codesOf(m, j, f); !slices.Equal(got, []string{p.code}) {
			t.Errorf("%s planted, found %q", p.code, got)
		}
	}
	word := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	for _, f := range faults {
		planted[f.code] = true
	}
	for _, f := range histories {
		planted[f.code] = true
	}
	for i, code := range FindingCodes() {
		if !planted[code] || !word.MatchString(code) || slices.Index(FindingCodes(), code) != i {
			t.Errorf("code %q is not planted, not kebab-case, or there twice", code)
		}
	}
}

func TestCleanSpectraRaiseNothing(t *testing.T) {
	for seed := range uint64(200) {
		m, j, f := faultless(seed)
		if got := codesOf(m, j, f); len(got) > 0 {
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
	if got := codesOf(m, j, f); len(got) > 0 {
		t.Errorf("%q", got)
	}
}

// The calibration date is that of the job's instrument.
func TestCalibrationOfAnotherInstrument(t *testing.T) {
	m, j, f := faultless(1)
	j.Instrument.CalibrationDue = m.Row.MeasuredAt.Add(-48 * time.Hour)
	m.Row.Instrument, f.instrument = "second bridge", "second bridge"
	if got := codesOf(m, j, f); len(got) > 0 {
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

// What follows from findings, as the rules say: leads leave the arc alone, what is wrong with an arc leaves the ohmic resistance, temperature
// and charge touch all that is measured from the spectrum; nothing touches a capacity.
func TestWhatFindingsTouch(t *testing.T) {
	leads := []string{"two-wire-sensing", "sensing-differs", "shift-rigid", "shift-carried", "first-ohmic-unlike-following", "ohmic-implausible", "fixture-correction-large", "ohmic-far-ahead-of-arc"}
	arcs := []string{"inductive-loop", "first-arc-unlike-following", "charge-transfer-implausible"}
	both := []string{"resistances-fell", "day-apart", "baseline-apart", "moment-doubled", "sweep-jumps", "duplicate-across-cells", "time-reversed", "temperature-outside-range", "state-of-charge-off-target", "state-of-charge-differs", "fit-not-converged"}
	for _, c := range checks {
		ohmic, arc := slices.Contains(c.touches, job.OhmicGrowth), slices.Contains(c.touches, job.ChargeTransferGrowth)
		all := slices.Contains(both, c.code)
		if ohmic != (all || slices.Contains(leads, c.code)) || arc != (all || slices.Contains(arcs, c.code)) {
			t.Errorf("%s touches %v", c.code, c.touches)
		}
		if slices.Contains(c.touches, job.CapacityAh) || slices.Contains(c.touches, job.CapacityRetention) {
			t.Errorf("%s touches a capacity", c.code)
		}
		if arc && !slices.Contains(c.touches, job.ResistanceStateOfHealth) || (ohmic || arc) && !slices.Contains(c.touches, job.TotalResistanceGrowth) {
			t.Errorf("%s touches a part and not what rests on it: %v", c.code, c.touches)
		}
		if len(c.touches) > 0 && c.severity != Warning {
			t.Errorf("%s is a %s and touches %v", c.code, c.severity, c.touches)
		}
	}
}
