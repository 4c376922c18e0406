package kramerskronig

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"ohmledger/fit/spectrum"
)

// randomCell is a full cell with everything about it drawn: arcs, diffusion, leads, band and density of points.
func randomCell(random *rand.Rand) *spectrum.Spectrum {
	between := func(low, high float64) float64 { return low * math.Pow(high/low, random.Float64()) }
	ohmic, film, transfer := between(5e-3, 0.1), between(1e-3, 0.02), between(5e-3, 0.1)
	fast, slow := between(1e-4, 2e-3), between(0.01, 0.5)
	alpha := 0.7 + 0.3*random.Float64()
	lead, beta := between(1e-8, 1e-6), 1-0.3*random.Float64()
	diffusion := transfer * between(0.02, 0.3)
	return sweep(between(3e3, 2e4), between(5e-3, 0.1), 40+random.IntN(40), func(jw complex128) complex128 {
		branch := complex(transfer, 0) + complex(diffusion, 0)*cmplx.Pow(jw, -0.5)
		return complex(lead*math.Pow(6e4, 1-beta), 0)*cmplx.Pow(jw, complex(beta, 0)) + complex(ohmic, 0) +
			complex(film, 0)/(1+cmplx.Pow(jw*complex(fast, 0), complex(alpha, 0))) +
			branch/(1+cmplx.Pow(jw*complex(slow, 0), 0.85)*branch/complex(transfer, 0))
	})
}

// Sound spectra of every kind at every noise: nothing may look like a violation. One in a hundred may have a point
// called an outlier, as the significance says.
func TestFalseAlarms(t *testing.T) {
	random := seeded(11)
	outliers, drifts, structured := 0, 0, 0
	for range 200 {
		noise := 0.0002 * math.Pow(50, random.Float64())
		r := Test(noisy(randomCell(random), noise, random))
		if r.MaxResidual > 5*noise {
			t.Errorf("noise %.2f %%: largest residual %.2f %% at point %d with %d time constants",
				100*noise, 100*r.MaxResidual, r.MaxIndex, r.TimeConstants)
		}
		if len(r.Outliers) > 0 {
			outliers++
		}
		if math.Abs(r.Drift.Change) > 3.5*r.Drift.StandardUncertainty {
			drifts++
		}
		if r.RunsZ < -2.6 {
			structured++
		}
	}
	t.Logf("of 200 sound spectra: %d with an outlier, %d with a drift over 3.5 uncertainties, %d with runs below −2.6",
		outliers, drifts, structured)
	if outliers > 6 || drifts > 2 || structured > 2 {
		t.Error("too many")
	}
}

// A dummy cell of three parts is the first thing a laboratory measures to try its instrument: 10 Ω in series with 100 Ω in
// parallel with 100 µF (ASTM G106), and others whose time constants fall anywhere on the grid.
func TestDummyCellsAreNoViolation(t *testing.T) {
	for _, tau := range []float64{0.01, 0.0123, 0.0157, 0.0211} {
		s := the43(func(jw complex128) complex128 { return 10 + 100/(1+jw*complex(tau, 0)) })
		for _, noise := range []float64{0, 0.001} {
			r := Test(noisy(s, noise, seeded(12)))
			if r.MaxResidual > 0.001+4*noise {
				t.Errorf("τ %v s, noise %v: largest residual %.2f %% with %d time constants", tau, noise, 100*r.MaxResidual, r.TimeConstants)
			}
		}
	}
}

// How large a drift must be to be told from noise of 0.1 %, the noise of a good instrument, and that its size is right.
func TestDriftIsFoundAndSized(t *testing.T) {
	for _, c := range []struct {
		drift float64
		least int // of 50 that must be found
	}{{0.005, 0}, {0.01, 5}, {0.02, 35}, {0.03, 48}, {0.05, 50}, {0.10, 50}, {0.20, 50}} {
		random := seeded(13)
		found, sum := 0, 0.0
		for range 50 {
			r := Test(noisy(drifting(randomCell(random), c.drift), 0.001, random))
			if r.Drift.Change > 3*r.Drift.StandardUncertainty {
				found++
			}
			sum += r.Drift.Change / 50
		}
		t.Logf("drift %4.1f %%: found in %d of 50, mean size %.2f %%", 100*c.drift, found, 100*sum)
		if found < c.least || math.Abs(sum-c.drift) > 0.002+0.2*c.drift {
			t.Errorf("drift %v: found %d of 50, at least %d wanted; mean size %v", c.drift, found, c.least, sum)
		}
	}
}

// One point off, in the real part, the imaginary part or both: which it is and by how much.
func TestOutlierIsFoundAndSized(t *testing.T) {
	for _, c := range []struct {
		off   complex128
		least int
	}{{0.005, 20}, {0.01, 48}, {0.01i, 48}, {0.03 - 0.03i, 50}, {-0.1, 50}} {
		random := seeded(14)
		found := 0
		for range 50 {
			s := noisy(randomCell(random), 0.001, random)
			at := 2 + random.IntN(len(s.Frequency)-4)
			r := Test(changed(s, func(i int, z complex128) complex128 {
				if i == at {
					z += c.off * complex(cmplx.Abs(z), 0)
				}
				return z
			}))
			if len(r.Outliers) > 0 && r.Outliers[0].Index == at {
				found++
				o := r.Outliers[0]
				if miss := cmplx.Abs(o.Error - c.off); miss > 5*o.StandardUncertainty+0.15*cmplx.Abs(c.off) {
					t.Errorf("error %v of a point off by %v, uncertainty %v", o.Error, c.off, o.StandardUncertainty)
				}
			}
		}
		t.Logf("off by %.3f: found in %d of 50", c.off, found)
		if found < c.least {
			t.Errorf("off by %v: found in %d of 50, want at least %d", c.off, found, c.least)
		}
	}
}

// Three bad points far apart, as a slipping clip makes them, are all named.
func TestSeveralOutliers(t *testing.T) {
	s := changed(noisy(sweep(1e4, 1e-2, 60, cell), 0.001, seeded(15)), func(i int, z complex128) complex128 {
		switch i {
		case 10, 30, 45:
			return z * 1.04
		}
		return z
	})
	named := map[int]bool{}
	for _, o := range Test(s).Outliers {
		named[o.Index] = true
	}
	if !named[10] || !named[30] || !named[45] || len(named) > 4 {
		t.Errorf("named %v, wrong are 10, 30 and 45", named)
	}
}

// A sign reversed is told by how much better the spectrum becomes with it turned round.
func TestReversedSignIsFound(t *testing.T) {
	random := seeded(16)
	for range 50 {
		s := noisy(randomCell(random), 0.002, random)
		if r := Test(s); r.ReversedRMS < 5*r.RMSResidual {
			t.Errorf("right way round: rms %v, reversed %v", r.RMSResidual, r.ReversedRMS)
		}
		r := Test(changed(s, func(_ int, z complex128) complex128 { return cmplx.Conj(z) }))
		if r.ReversedRMS > r.RMSResidual/5 {
			t.Errorf("reversed: rms %v, turned round %v with %d time constants", r.RMSResidual, r.ReversedRMS, r.TimeConstants)
		}
	}
}
