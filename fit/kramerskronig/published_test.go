package kramerskronig

import (
	"math"
	"math/cmplx"
	"slices"
	"testing"

	"ohmledger/fit/spectrum"
)

// residuals fits exactly so many time constants over exactly the band, as Boukamp 1995 sets them.
func residuals(s *spectrum.Spectrum, timeConstants int) []complex128 {
	m := newModel(s, 1, timeConstants, 0)
	m.fit(timeConstants)
	m.linear.Residuals(m.column)
	n := len(s.Frequency)
	list := make([]complex128, n)
	for i := range list {
		list[i] = complex(m.column[i], m.column[n+i])
	}
	return list
}

// largestOf is the largest residual by size of the complex number.
func largestOf(residuals []complex128) (size float64, at int) {
	for i, e := range residuals {
		if cmplx.Abs(e) > size {
			size, at = cmplx.Abs(e), i
		}
	}
	return size, at
}

// Resistance–capacitance pairs that stand on the model's own time constants are returned as they are (Boukamp 1995).
func TestPairsOnTheGridAreReturned(t *testing.T) {
	want := []float64{1, 2, 0.5, 3, 1, 0.2, 4, 1, 2, 0.7, 1, 5}
	tau := make([]float64, len(want))
	for k := range tau {
		tau[k] = 1 / (2 * math.Pi * 1e4) * math.Pow(1e6, float64(k)/float64(len(want)-1))
	}
	s := the43(func(jw complex128) complex128 {
		z := complex(0.3, 0)
		for k, r := range want {
			z += complex(r, 0) / (1 + jw*complex(tau[k], 0))
		}
		return z
	})
	m := newModel(s, 1, len(want), 0)
	size := largest(s.Impedance)
	for k, got := range m.fit(len(want)) {
		got *= size
		if math.Abs(got-want[k]) > 1e-11*want[k] {
			t.Errorf("R_%d = %.15g, want %g", k+1, got, want[k])
		}
	}
}

// Largest residuals of the constructed vectors, computed independently of this program from the definition in Boukamp 1995.
func TestLargestResidualsOfCompliantVectors(t *testing.T) {
	for _, c := range []struct {
		name          string
		impedance     func(complex128) complex128
		timeConstants int
		want          float64
	}{
		{"arc", arc, 10, 7.9e-3}, {"arc", arc, 15, 5.5e-4}, {"arc", arc, 20, 2.9e-5},
		{"cell", cell, 10, 7.6e-3}, {"cell", cell, 15, 1.6e-3}, {"cell", cell, 20, 9.5e-4},
	} {
		if got, _ := largestOf(residuals(the43(c.impedance), c.timeConstants)); math.Abs(got/c.want-1) > 0.05 {
			t.Errorf("%s with %d time constants: largest residual %.3g, want %.2g", c.name, c.timeConstants, got, c.want)
		}
	}
}

// Largest residuals of vectors that break the relations, from the same independent computation: a drift of 5 % is
// hardly seen at a limit of 1 %, and less with more time constants.
func TestLargestResidualsOfViolations(t *testing.T) {
	good := the43(cell)
	wrong := 21
	for _, c := range []struct {
		name          string
		spectrum      *spectrum.Spectrum
		timeConstants int
		want          float64
	}{
		{"5 % drift", drifting(good, 0.05), 10, 0.014},
		{"5 % drift", drifting(good, 0.05), 15, 0.012},
		{"5 % drift", drifting(good, 0.05), 20, 0.009},
		{"20 % drift", drifting(good, 0.20), 15, 0.040},
		{"one point", changed(good, func(i int, z complex128) complex128 {
			if i == wrong {
				return z * 1.05
			}
			return z
		}), 15, 0.040},
		{"reversed sign", changed(good, func(_ int, z complex128) complex128 { return cmplx.Conj(z) }), 15, 0.31},
	} {
		got, at := largestOf(residuals(c.spectrum, c.timeConstants))
		if math.Abs(got/c.want-1) > 0.08 {
			t.Errorf("%s with %d time constants: largest residual %.4f, want %.3f", c.name, c.timeConstants, got, c.want)
		}
		if c.name == "one point" && at != wrong {
			t.Errorf("largest residual at point %d, the wrong one is %d", at, wrong)
		}
	}
}

func TestMedianResidualOfReversedSign(t *testing.T) {
	reversed := changed(the43(cell), func(_ int, z complex128) complex128 { return cmplx.Conj(z) })
	sizes := make([]float64, 0, 43)
	for _, e := range residuals(reversed, 15) {
		sizes = append(sizes, cmplx.Abs(e))
	}
	slices.Sort(sizes)
	if got := sizes[21]; math.Abs(got-0.12) > 0.01 {
		t.Errorf("median residual %.3f, want 0.12", got)
	}
}

// Schönleber et al. 2014: μ of given resistances.
func TestMu(t *testing.T) {
	for _, c := range []struct {
		resistances []float64
		want        float64
	}{
		{[]float64{1, 2, 3}, 1},
		{[]float64{1, 2, -0.1, 0.5}, 0.971428571},
		{[]float64{1, -2, 1}, 0},
		{[]float64{1, -3}, -2},
		{[]float64{-1}, math.Inf(-1)},
		{nil, 1},
	} {
		if got := Mu(c.resistances); got != c.want && math.Abs(got-c.want) > 5e-10 {
			t.Errorf("Mu(%v) = %v, want %v", c.resistances, got, c.want)
		}
	}
}

// Area rule, (2/π)∫−Z″ d ln ω = R(0) − R(∞), a consequence of the relations: what the test reads as ΣR_k from a band
// wide enough is the area under the measured −Z″, whatever the depression of the arc.
func TestAreaRule(t *testing.T) {
	for _, alpha := range []float64{1, 0.8, 0.6} {
		s := sweep(1e9, 1e-9, 181, func(jw complex128) complex128 {
			return 0.020 + 0.015/(1+cmplx.Pow(jw*0.0125, complex(alpha, 0)))
		})
		var area, sum float64
		for i := 1; i < len(s.Frequency); i++ {
			area -= (imag(s.Impedance[i]) + imag(s.Impedance[i-1])) / 2 * math.Log(s.Frequency[i-1]/s.Frequency[i])
		}
		area *= 2 / math.Pi
		for _, r := range newModel(s, 1, 60, 0).fit(60) {
			sum += r * largest(s.Impedance)
		}
		if math.Abs(area-0.015) > 1e-6 || math.Abs(sum-area) > 1e-5 {
			t.Errorf("α %v: area %.9f Ω, ΣR_k %.9f Ω, want both 0.015 Ω", alpha, area, sum)
		}
	}
}

// Boukamp's pseudo χ² of 60 points with 0.5 % noise in each part is 3.0e-3; NoisePercent is that formula, with the
// values left free in place of all values.
func TestNoiseFormula(t *testing.T) {
	const points, noise = 60, 0.5
	if chi := 3.0e-3; math.Abs(math.Sqrt(5000*chi/points)-noise) > 1e-12 {
		t.Errorf("σ of the published example is %v %%", math.Sqrt(5000*chi/points))
	}
	s := noisy(sweep(1e4, 1e-2, points, cell), noise/100, seeded(1))
	r := Test(s)
	var chi float64
	for _, e := range r.Residuals {
		chi += real(e)*real(e) + imag(e)*imag(e)
	}
	free := 1 - float64(baseColumns+r.TimeConstants)/(2*points)
	if want := math.Sqrt(5000 * chi / points / free); math.Abs(r.NoisePercent-want) > 1e-9 {
		t.Errorf("NoisePercent %v, want %v", r.NoisePercent, want)
	}
}
