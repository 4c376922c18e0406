package fit

import (
	"math"
	"slices"
	"testing"
)

// A lead that is nearly an ideal inductor does not move the ohmic resistance of a cell that is small beside it.
func TestNearlyIdealLead(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	for _, beta := range []float64{0.994, 0.998, 1} {
		p := singleArcVector()
		p.Ohmic, p.ChargeTransfer, p.Diffusion, p.LeadExponent = 5e-4, 4e-4, 4e-5, beta
		p.LeadCoefficient = 1e-7 * math.Pow(leadOmega, 1-beta)
		var held tally
		for seed := range 10 {
			rng := seeded(uint64(600 + seed))
			var history []Measured
			for range 6 {
				history = append(history, sweep{1e4, 0.01, 50, 0.002}.measured(p, rng))
			}
			for _, r := range Cell(history).Results {
				held.add(math.Log(r.Ohmic.Estimate()/p.Ohmic) / math.Hypot(r.Ohmic.Relative(), r.LogModelU[Ohmic]))
			}
		}
		if held.share() < 0.85 {
			t.Errorf("lead exponent %g: intervals of the ohmic resistance hold it in %.0f %%", beta, 100*held.share())
		}
	}
}

// Intervals by profile in a history are as sure as its shared exponents, not surer.
func TestIntervalsOfHistories(t *testing.T) {
	held, all := 0, 0
	for seed := range 30 {
		rng := seeded(uint64(700 + seed))
		p := cellVector()
		s := sweep{1e4, 0.01, 35, 0.008}
		for _, r := range Cell([]Measured{s.measured(p, rng), s.measured(aged(p, 0.3), rng), s.measured(aged(p, 0.6), rng)}).Results[:1] {
			for e, i := range r.Intervals {
				all++
				if truth := p.resistance(e); r.Arcs == 2 && i.Lower <= truth && truth <= i.Upper {
					held++
				}
			}
		}
	}
	t.Logf("%d of %d intervals hold the truth", held, all)
	if all < 20 || held*100 < 80*all {
		t.Errorf("%d of %d intervals hold the truth", held, all)
	}
}

// A frequency generator that steps by a part in a million otherwise changes nothing.
func TestFrequencyJitter(t *testing.T) {
	uncertainties := func(jitter float64) []float64 {
		rng, wobble := seeded(31), seeded(32)
		var history []Measured
		for i := range 8 {
			m := fullSweepNoisy.measured(aged(cellVector(), float64(i)/8), rng)
			for k := range m.Spectrum.Frequency {
				m.Spectrum.Frequency[k] *= 1 + jitter*wobble.NormFloat64()
			}
			history = append(history, m)
		}
		r := Cell(history).Results[4]
		return []float64{r.Ohmic.Relative(), r.Film.Relative(), r.ChargeTransfer.Relative(), r.Polarisation.Relative()}
	}
	even, uneven := uncertainties(0), uncertainties(1e-6)
	for k := range even {
		if f := uneven[k] / even[k]; f < 0.95 || f > 1.05 {
			t.Errorf("%s: uncertainty changes by a factor of %.2f", Element(k), f)
		}
	}
}

var fullSweepNoisy = sweep{1e4, 0.01, 60, 0.002} // what a bench takes

// Where a second arc hides, what it would change is within the uncertainty.
func TestHiddenArc(t *testing.T) {
	var held tally
	told := 0
	for _, c := range []struct{ apart, share, noise, high float64 }{{3, 0.2, 0.001, 1e3}, {6, 0.2, 0.003, 1e3}, {12, 0.2, 0.003, 100}, {25, 0.5, 0.003, 100}} {
		p := cellVector()
		p.Film, p.FilmTimeConstant = c.share*p.ChargeTransfer, p.ChargeTransferTimeConstant/c.apart
		for seed := range 8 {
			rng := seeded(uint64(800 + seed))
			s := sweep{c.high, 0.01, 36, c.noise}
			history := []Measured{s.measured(p, rng), s.measured(p, rng)}
			for i := range history {
				history[i].RelativeNoise = c.noise / 2
			}
			h := Cell(history)
			if r := h.Results[0]; h.Because.Code == "arcs-one-second-unresolved" {
				if slices.ContainsFunc(r.Doubts, func(d Doubt) bool { return d.Code == "second-arc-hidden" }) {
					told++
				}
				for _, e := range []Element{Ohmic, Polarisation} {
					if r.Resistance(e).Known() {
						held.add(math.Log(r.Resistance(e).Estimate()/p.resistance(e)) / math.Hypot(r.Resistance(e).Relative(), r.LogModelU[e]))
					}
				}
			}
		}
	}
	t.Logf("%d hidden, %d told, %.0f %% held", held.all, told, 100*held.share())
	if held.all < 20 || held.share() < 0.85 || told == 0 {
		t.Errorf("%d hidden, %d told, %.0f %% held", held.all, told, 100*held.share())
	}
}

// Exponents that drift by little, and a quarter of a history that fails: the growth is within its uncertainty.
func TestDriftCounts(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	const life = 12
	for name, c := range map[string]struct {
		cell    Parameters
		disturb func(p *Parameters, i int)
		least   float64
	}{
		"little": {cellVector(), func(p *Parameters, i int) { p.ChargeTransferExponent -= 0.01 * float64(i) / life }, 0.5},
		"much":   {cellVector(), func(p *Parameters, i int) { p.ChargeTransferExponent -= 0.03 * float64(i) / life }, 0.9},
		"the last three fail": {singleArcVector(), func(p *Parameters, i int) {
			if x := float64(i-life+4) / 3; x > 0 {
				p.ChargeTransfer *= math.Exp(3 * x)
				p.ChargeTransferTimeConstant *= math.Exp(2 * x)
				p.ChargeTransferExponent -= 0.12 * x
			}
		}, 0.9},
	} {
		var held tally
		for seed := range 20 {
			rng := seeded(uint64(900 + seed))
			at := func(i int) Parameters {
				p := aged(c.cell, float64(i)/life)
				c.disturb(&p, i)
				return p
			}
			var history []Measured
			for i := range life {
				history = append(history, fullSweepNoisy.measured(at(i), rng))
			}
			if h := Cell(history); h.Results[0].ChargeTransfer.Known() && h.Results[life-1].ChargeTransfer.Known() {
				g, _ := deviations(h, at, life-1, ChargeTransfer)
				held.add(g)
			}
		}
		t.Logf("%s: growth held in %.0f %% of %d", name, 100*held.share(), held.all)
		if held.all < 15 || held.share() < c.least {
			t.Errorf("%s: growth held in %.0f %% of %d", name, 100*held.share(), held.all)
		}
	}
}
