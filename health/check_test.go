package health

import (
	"math"
	"testing"
	"time"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// Checks of clean spectra say nothing: every measurement of a cell that differs from seed to seed, with its fit.
func TestNoFalseAlarmsInCleanSpectra(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	for seed := range uint64(200) {
		p := sound(seed)
		p.row.AmplitudeA, p.row.OCVBeforeV, p.row.OCVAfterV = pointer(0.1), pointer(3.65), pointer(3.6501)
		p.job.Cell.Format = "18650"
		for _, j := range []*job.Job{nil, p.job} {
			m := Check(Evidence{Job: j}, Input{Row: &p.row, Spectrum: p.spectrum})
			for _, f := range m.Quality.Findings {
				t.Errorf("seed %d: %s %+v", seed, f.Code, f.Facts)
			}
			if !m.Quality.Accepted || m.Quality.Gravest() != 0 {
				t.Errorf("seed %d is not worth keeping", seed)
			}
		}
	}
}

// Nor do clean histories, whether the cell ages or not.
func TestNoFalseAlarmsInCleanHistories(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	for seed := range uint64(20) {
		for _, ageing := range []float64{0, 1, 3} {
			for _, m := range course(seed, ageing).assess(t).Cells.At(0).Measurements {
				for _, f := range m.Quality.Findings {
					t.Errorf("seed %d, ageing %v: %s: %s %s", seed, ageing, m.Row.File, f.Code, f.Message)
				}
			}
		}
	}
}

// A check at the bench is done before the cell is unclipped: a tenth of a second, with much to spare.
func TestCheckIsQuick(t *testing.T) {
	best := time.Hour
	for seed := range uint64(5) {
		p := sound(seed)
		start := time.Now()
		Check(Evidence{Job: p.job}, Input{Row: &p.row, Spectrum: p.spectrum})
		best = min(best, time.Since(start))
	}
	if best > 100*time.Millisecond {
		t.Errorf("a check takes %v", best)
	}
}

// Without a job nothing that only a job states is held against a spectrum.
func TestCheckOfABareSpectrum(t *testing.T) {
	p := sound(1)
	m := Check(Evidence{}, Input{Spectrum: p.spectrum})
	if len(m.Quality.Findings) > 0 || m.Fit.Status != fit.Converged || m.Quality.KramersKronig == nil || !m.ACResistance1kHz.Known() {
		t.Errorf("%+v", m.Quality)
	}
	m = Check(Evidence{Job: p.job}, Input{Spectrum: p.spectrum})
	for _, code := range []string{"sensing-unknown", "rest-unknown", "state-of-charge-unknown"} {
		if !m.Quality.Has(code) {
			t.Errorf("%s is not found", code)
		}
	}
}

// A sweep that starts below the upper end of the curve is warned about, whether the ohmic resistance can still be told or not.
func TestSweepStartsTooLow(t *testing.T) {
	unresolved := 0
	for _, hz := range []float64{300, 100, 30, 10} {
		for seed := range uint64(3) {
			p := sound(seed)
			p.remeasured(func(c *fit.Parameters) {
				c.Film, c.FilmTimeConstant, c.FilmExponent = 0.3*c.ChargeTransfer, 1e-3, 0.85
				c.ChargeTransferTimeConstant *= 4
			})
			p.keep(func(_ int, f float64) bool { return f <= 1.01*hz })
			m := p.checked(true)
			if known, q := m.Fit.Ohmic.Known(), &m.Quality; q.Has("ohmic-unresolved") != !known || q.Has("ohmic-extrapolated") != known {
				t.Errorf("from %v Hz on, seed %d: ohmic resistance %v, %+v", hz, seed, m.Fit.Ohmic, q.Findings)
			} else if !known {
				unresolved++
			}
		}
	}
	if unresolved == 0 {
		t.Error("all are resolved")
	}
}

// absurdities are spectra that a technician would throw away at a glance.
var absurdities = map[string]func(p *planting){
	"one point":    func(p *planting) { p.keep(func(i int, _ float64) bool { return i == 3 }) },
	"no point":     func(p *planting) { p.keep(func(int, float64) bool { return false }) },
	"all the same": func(p *planting) { p.each(func(int, float64, complex128) complex128 { return 0.02 }) },
	"zero":         func(p *planting) { p.each(func(int, float64, complex128) complex128 { return 0 }) },
	"absurd values": func(p *planting) {
		p.each(func(i int, _ float64, z complex128) complex128 { return z * complex(1-float64(i%3)*1e14, 0) })
	},
	"inconsistent phases": func(p *planting) {
		p.each(func(i int, _ float64, z complex128) complex128 { return complex(real(z), imag(z)*float64(1-2*(i%2))) })
	},
	"aborted":               func(p *planting) { p.keep(func(_ int, hz float64) bool { return hz > 300 }) },
	"arc that never closes": func(p *planting) { p.keep(func(_ int, hz float64) bool { return hz > 20 }) },
	"a resistor": func(p *planting) {
		p.each(func(_ int, hz float64, _ complex128) complex128 { return complex(0.1, 1e-6*hz) })
	},
	"one frequency only": func(p *planting) {
		p.each(func(i int, _ float64, z complex128) complex128 { p.spectrum.Frequency[i] = 1000; return z })
	},
	"open clip": func(p *planting) {
		p.each(func(int, float64, complex128) complex128 {
			return complex(1e5*p.random.Float64(), 1e5*p.random.Float64())
		})
	},
	"huge and tiny together": func(p *planting) {
		p.each(func(i int, _ float64, z complex128) complex128 { return z * complex(math.Pow(10, float64(i%7)*40), 0) })
	},
}

// Spectra that a technician would throw away at a glance, whatever is wrong with them: each is rejected or at least warned about, and none
// stops the program.
func TestAbsurdSpectra(t *testing.T) {
	for name, edit := range absurdities {
		p := sound(3)
		edit(p)
		m := Check(Evidence{Job: p.job, Phrase: english(t)}, Input{Row: &p.row, Spectrum: p.spectrum})
		if m.Quality.Gravest() < Warning && m.Quality.Gravest() != Reject {
			t.Errorf("%s: %+v", name, m.Quality.Findings)
		}
	}
}

// Of one value everywhere that is said, and nothing about its fit.
func TestConstantIsSaidOnce(t *testing.T) {
	p := sound(3)
	absurdities["all the same"](p)
	for _, f := range Check(Evidence{Job: p.job}, Input{Row: &p.row, Spectrum: p.spectrum}).Quality.Findings {
		if f.Code == "fit-not-converged" || f.Code == "ohmic-extrapolated" {
			t.Errorf("%+v", f)
		}
	}
}

func TestTally(t *testing.T) {
	b := newBench().add(fresh, row("A", 0, 25)).add(fresh, row("A", 90, 5)).add(fresh, row("A", 180, 25)).add(fresh, row("B", 0, 5))
	b.inputs[3].Row.Sensing = ""
	b.spoil(2)
	b.inputs[2].Row.Accept = "seen by the lead"
	got := b.assess(t).Tally()
	if got.Spectra != 4 || got.Clean != 1 || got.Warned != 2 || got.Rejected != 0 || got.AcceptedByHand != 1 {
		t.Errorf("%+v", got)
	}
	if first := got.Findings[0]; first.Code != "kramers-kronig-violated" || first.Severity != Reject {
		t.Errorf("%+v", got.Findings)
	}
	for _, f := range got.Findings {
		if f.Code == codeTemperature && (f.Spectra != 2 || f.Cells != 2) {
			t.Errorf("%+v", f)
		}
	}
}
