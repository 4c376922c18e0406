package kramerskronig

import (
	"math"
	"math/cmplx"
	"slices"
	"testing"

	"ohmledger/fit/spectrum"
)

// Whatever finite numbers a file holds, every figure of the result is a finite number within its bounds.
func TestAbsurdSpectraGiveFiniteFigures(t *testing.T) {
	random := seeded(21)
	for k := range 400 {
		s := &spectrum.Spectrum{}
		n := FewestPoints + random.IntN(60)
		size := math.Pow(10, 600*random.Float64()-300)
		for range n {
			s.Frequency = append(s.Frequency, math.Pow(10, 12*random.Float64()-6))
			spread := math.Pow(10, float64(k%7)*random.NormFloat64())
			s.Impedance = append(s.Impedance, complex(size*spread*random.NormFloat64(), size*random.NormFloat64()))
		}
		if k%3 == 0 { // frequencies that stand more than once
			for i := 1; i < n; i += 3 {
				s.Frequency[i] = s.Frequency[i-1]
			}
		}
		if k%5 == 0 { // real parts only, of one value
			for i := range s.Impedance {
				s.Impedance[i] = complex(size, 0)
			}
		}
		slices.Sort(s.Frequency)
		slices.Reverse(s.Frequency)
		if r := Test(s); r != nil {
			checkFigures(t, k, r)
		}
	}
}

func checkFigures(t *testing.T, k int, r *Result) {
	t.Helper()
	figures := []float64{r.Mu, r.RMSResidual, r.MaxResidual, r.RunsZ, r.RunsZReal, r.RunsZImag, r.NoisePercent,
		r.Drift.Change, r.Drift.StandardUncertainty, r.ReversedRMS}
	shares := []float64{r.Drift.Share}
	for _, j := range r.Jumps {
		figures = append(figures, j.Change, j.StandardUncertainty)
		shares = append(shares, j.Share)
	}
	for _, o := range r.Outliers {
		figures = append(figures, cmplx.Abs(o.Error), o.StandardUncertainty)
		shares = append(shares, o.Share)
	}
	for _, d := range r.Decades {
		figures = append(figures, d.FromHz, d.ToHz, d.RMSResidual)
	}
	for _, e := range r.Residuals {
		figures = append(figures, cmplx.Abs(e))
	}
	for _, v := range figures {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("spectrum %d: %v in %+v", k, v, r)
		}
	}
	for _, v := range shares {
		if v < -1e-9 || v > 1+1e-9 {
			t.Errorf("spectrum %d: share %v", k, v)
		}
	}
}
