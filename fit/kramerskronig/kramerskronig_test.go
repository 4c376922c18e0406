package kramerskronig

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"ohmledger/fit/spectrum"
)

func seeded(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 2026)) }

// An inductance or a capacitance is in the model, so that a lead or a blocked cell is no violation.
func TestSeriesElementsAreNoViolation(t *testing.T) {
	for name, impedance := range map[string]func(complex128) complex128{
		"resistance":                  func(complex128) complex128 { return 0.02 },
		"inductance alone":            func(jw complex128) complex128 { return 1e-6 * jw },
		"capacitance alone":           func(jw complex128) complex128 { return 1 / (jw * 10) },
		"resistance and inductance":   func(jw complex128) complex128 { return 0.02 + 1e-6*jw },
		"resistance and capacitance":  func(jw complex128) complex128 { return 0.02 + 1/(jw*100) },
		"all of them beside one pair": func(jw complex128) complex128 { return 0.02 + 1e-7*jw + 1/(jw*1000) + 0.01/(1+jw*0.01) },
	} {
		if r := Test(the43(impedance)); r.MaxResidual > 1e-4 {
			t.Errorf("%s: largest residual %.2g", name, r.MaxResidual)
		}
	}
}

// Leads whose resistance rises with frequency, and diffusion that goes on below the band, obey the relations: the test
// must not cry wolf, however large their part of the spectrum.
func TestLossyLeadsAreNoViolation(t *testing.T) {
	for _, c := range [][4]float64{
		{2e-6, 0.8, 0.002, 0.5}, {1e-5, 0.7, 0.002, 0.5}, {1e-5, 0.8, 0.01, 0.4},
		{1e-4, 0.6, 0.002, 0.5}, {1e-4, 0.5, 0.002, 0.7}, {2e-7, 1, 0.01, 0.25},
	} {
		s := sweep(1e4, 1e-2, 55, lossyCell(c[0], c[1], c[2], c[3]))
		for _, noise := range []float64{0.0003, 0.002} {
			r := Test(noisy(s, noise, seeded(7)))
			if math.Abs(r.NoisePercent/100/noise-1) > 0.35 || r.RunsZ < -2.6 || r.MaxResidual > 5*noise {
				t.Errorf("leads %v, noise %v: found %.4f %%, runs %.1f, largest %.5f with %d time constants",
					c, noise, r.NoisePercent, r.RunsZ, r.MaxResidual, r.TimeConstants)
			}
		}
	}
}

func TestSaysNothing(t *testing.T) {
	few := sweep(1e3, 1, FewestPoints-1, cell)
	narrow := sweep(1e3, 150, 40, cell)
	still := changed(the43(cell), func(i int, z complex128) complex128 {
		if i < 36 {
			return 0
		}
		return z
	})
	for name, s := range map[string]*spectrum.Spectrum{"few": few, "narrow": narrow, "nearly all zero": still, "empty": {}} {
		if r := Test(s); r != nil {
			t.Errorf("%s: got a result %+v", name, r)
		}
	}
	if Test(sweep(1e3, 1, FewestPoints, cell)) == nil {
		t.Errorf("no result with %d points", FewestPoints)
	}
}

// A point of zero impedance has no modulus to weight by: it is left out, and nothing becomes NaN.
func TestZeroImpedanceTakesNoPart(t *testing.T) {
	r := Test(changed(noisy(the43(cell), 1e-3, seeded(3)), func(i int, z complex128) complex128 {
		if i == 17 {
			return 0
		}
		return z
	}))
	if cmplx.Abs(r.Residuals[17]) > 1e-12 || math.IsNaN(r.RMSResidual) || r.RMSResidual > 2e-3 {
		t.Errorf("residual %v, rms %v", r.Residuals[17], r.RMSResidual)
	}
}

// Neither the unit of impedance nor that of frequency matters.
func TestScalingLaw(t *testing.T) {
	s := noisy(the43(cell), 1e-3, seeded(4))
	want := Test(s)
	for _, factor := range []float64{1e-3, 256} {
		other := changed(s, func(_ int, z complex128) complex128 { return z * complex(factor, 0) })
		other.Frequency = make([]float64, len(s.Frequency))
		for i, f := range s.Frequency {
			other.Frequency[i] = f * factor
		}
		got := Test(other)
		if got.TimeConstants != want.TimeConstants || math.Abs(got.RMSResidual/want.RMSResidual-1) > 1e-6 ||
			math.Abs(got.Drift.Change-want.Drift.Change) > 1e-6 || math.Abs(got.Mu-want.Mu) > 1e-3 {
			t.Errorf("scaled by %v: %+v, was %+v", factor, got, want)
		}
	}
}

func TestRepeatsItself(t *testing.T) {
	s := noisy(the43(cell), 1e-3, seeded(5))
	a, b := Test(s), Test(s)
	for i := range a.Residuals {
		if a.Residuals[i] != b.Residuals[i] {
			t.Fatalf("residual %d is %v, then %v", i, a.Residuals[i], b.Residuals[i])
		}
	}
}

// The noise read from the residuals is that put in, on average within 3 %: without the correction for the
// fitted terms it would be some 12 % low.
func TestNoiseIsUnbiased(t *testing.T) {
	random := seeded(6)
	var found []float64
	for range 300 {
		found = append(found, Test(noisy(sweep(1e4, 1e-2, 60, cell), 0.005, random)).NoisePercent)
	}
	if mean := stat.Mean(found, nil); math.Abs(mean/0.5-1) > 0.03 {
		t.Errorf("mean noise %.4f %%, put in 0.5 %%", mean)
	}
}

func TestDecadesCoverTheSpectrum(t *testing.T) {
	s := noisy(the43(cell), 1e-3, seeded(8))
	r := Test(s)
	if len(r.Decades) != 6 || r.Decades[0].FromHz != s.Frequency[0] || r.Decades[5].ToHz != s.Frequency[42] {
		t.Fatalf("decades %+v", r.Decades)
	}
	for i, d := range r.Decades[1:] {
		if d.FromHz >= r.Decades[i].ToHz {
			t.Errorf("decade %d starts at %v Hz, the one before ends at %v Hz", i+1, d.FromHz, r.Decades[i].ToHz)
		}
	}
}

// Every real spectrum of these jobs was taken at 25 °C with a rest before it, by people who published
// them: none may look like a violation by size or by structure, nor have a point inside the band far from the others.
func TestRealSpectraAtRoomTemperature(t *testing.T) {
	for _, job := range []string{"coin-25c", "cylindrical-repeat"} {
		t.Run(job, func(t *testing.T) {
			names, spectra := measured(t, job)
			for i, s := range spectra {
				r := Test(s)
				if r.RMSResidual > 0.005 || r.RunsZ < -2.6 {
					t.Errorf("%s: rms %.2f %%, largest %.2f %%, runs %.1f", names[i], 100*r.RMSResidual, 100*r.MaxResidual, r.RunsZ)
				}
				for _, o := range r.Outliers {
					inside := o.Index > 0 && o.Index < len(s.Frequency)-2
					if size := cmplx.Abs(o.Error); inside && size > 0.02 {
						t.Errorf("%s: point %d is off by %.1f %%", names[i], o.Index, 100*size)
					}
				}
			}
		})
	}
}

func BenchmarkTest(b *testing.B) {
	s := noisy(sweep(1e4, 1e-2, 60, lossyCell(1e-5, 0.8, 0.01, 0.4)), 1e-3, seeded(9))
	b.ReportAllocs()
	for b.Loop() {
		Test(s)
	}
}
