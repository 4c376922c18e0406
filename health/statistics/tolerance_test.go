package statistics

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/internal/published"
)

// NBS Handbook 91 (Natrella, 1963), Table A-7, confidence 0.95, recomputed to more digits.
func TestOneSidedFactorHandbook91(t *testing.T) {
	for _, c := range []struct {
		n       int
		content [3]float64 // 0.90, 0.95, 0.99
	}{
		{3, [3]float64{6.1553, 7.6559, 10.5527}}, {5, [3]float64{3.4066, 4.2027, 5.7411}}, {10, [3]float64{2.3546, 2.9110, 3.9811}},
		{20, [3]float64{1.9260, 2.3960, 3.2952}}, {30, [3]float64{1.7773, 2.2198, 3.0639}}, {50, [3]float64{1.6456, 2.0650, 2.8624}},
		{100, [3]float64{1.5267, 1.9265, 2.6840}},
	} {
		for i, p := range []float64{0.90, 0.95, 0.99} {
			published.Agrees(t, "k1", oneSidedFactor(c.n, p, 0.95), c.content[i], 6e-5)
		}
	}
}

// Two-sided exact factors 0.95/0.95 (Odeh and Owen, 1980, recomputed).
func TestTwoSidedFactor(t *testing.T) {
	for n, want := range map[int]float64{5: 5.0769, 10: 3.3934, 20: 2.7603, 30: 2.5549, 50: 2.3816, 100: 2.2339} {
		published.Agrees(t, "k2", twoSidedFactor(n, 0.95, 0.95), want, 6e-5)
	}
}

// NIST/SEMATECH e-Handbook 7.2.6.3: N 43, content 0.90, confidence 0.99. The page's approximations are 2.2173 (Howe) and 1.8752;
// exact values recomputed. Its "1.8752*2.68" is a misprint for 0.0268.
func TestToleranceHandbook7263(t *testing.T) {
	published.Agrees(t, "two-sided", twoSidedFactor(43, 0.90, 0.99), 2.222825, 2e-6)
	published.Agrees(t, "one-sided", oneSidedFactor(43, 0.90, 0.99), 1.8739536, 2e-7)
	k := ToleranceFactors{0.90, 0.99, 1.8751896, 2.2173159}
	both, _, upper := k.Tolerance(97.07, 0.0268)
	published.Agrees(t, "lower", both.Lower, 97.010576, 1e-6)
	published.Agrees(t, "upper", both.Upper, 97.129424, 1e-6)
	published.Agrees(t, "upper alone", upper.Upper, 97.120255, 1e-6)
}

// EPA 530/R-09-007 (2009), Example 17-3: upper tolerance limit on the logarithms of eight background values.
func TestToleranceEPA173(t *testing.T) {
	logs := []float64{19.7, 39.2, 7.8, 12.8, 10.2, 7.2, 16.1, 5.7}
	for i := range logs {
		logs[i] = math.Log(logs[i])
	}
	mean, sd := stat.MeanStdDev(logs, nil)
	published.Agrees(t, "mean", mean, 2.5085773, 5e-8)
	published.Agrees(t, "sd", sd, 0.6279479, 5e-8)
	k := oneSidedFactor(8, 0.95, 0.95)
	published.Agrees(t, "k", k, 3.187294, 1e-6)
	published.Agrees(t, "limit", math.Exp(mean+k*sd), 90.9247, 1e-4)
}

// NBS Handbook 91, chapter 2: thickness of ten mica washers (NIST Dataplot NATR21).
func TestToleranceMicaWashers(t *testing.T) {
	mean, sd := stat.MeanStdDev(published.Column(t, "published", "handbook.csv", "NATR21", "y"), nil)
	published.Agrees(t, "sd", sd, 0.0035901, 5e-8)
	k := oneSidedFactor(10, 0.90, 0.95)
	published.Agrees(t, "k1", k, 2.35464, 1e-5)
	published.Agrees(t, "lower alone", mean-k*sd, 0.117547, 1e-6)
	k = twoSidedFactor(10, 0.90, 0.95)
	published.Agrees(t, "k2", k, 2.85631, 1e-5)
	published.Agrees(t, "lower", mean-k*sd, 0.115746, 1e-6)
	published.Agrees(t, "upper", mean+k*sd, 0.136254, 1e-6)
}

// Where AS 243 holds, both distributions agree; a central one is Student's.
func TestNoncentralT(t *testing.T) {
	for _, freedom := range []float64{1, 2, 3, 9, 60, 400} {
		for _, delta := range []float64{0, 0.5, 3, 12} {
			d, peer := NewNoncentralT(freedom, delta), distuv.NoncentralT{Nu: freedom, Mu: delta}
			for _, t0 := range []float64{0.1, 0.7, 2, 4, 11, 16} {
				published.Agrees(t, "CDF", d.CDF(t0), peer.CDF(t0), 2e-10)
			}
			for _, p := range []float64{0.025, 0.5, 0.95} {
				published.Agrees(t, "there and back", d.CDF(d.quantile(p)), p, 1e-11)
			}
		}
		published.Agrees(t, "central", NewNoncentralT(freedom, 0).quantile(0.975), distuv.StudentsT{Sigma: 1, Nu: freedom}.Quantile(0.975), 1e-7)
	}
}

// Lots of thousands of cells: the factors go down to the normal quantile and keep a few digits' distance.
func TestFactorsOfLargeLots(t *testing.T) {
	before := math.Inf(1)
	for _, n := range []int{100, 1000, 10_000, 100_000} {
		k := oneSidedFactor(n, 0.95, 0.95)
		if !(k < before && k > 1.6448) {
			t.Errorf("n %d: %v after %v", n, k, before)
		}
		before = k
		// The normal approximation of NIST/SEMATECH e-Handbook 7.2.6.3.
		z, c := 1.644853627, 1.644853627
		a := 1 - c*c/(2*float64(n-1))
		b := z*z - c*c/float64(n)
		published.Agrees(t, "against the approximation", k, (z+math.Sqrt(z*z-a*b))/a, 0.4/float64(n))
	}
	published.Agrees(t, "two-sided", twoSidedFactor(100_000, 0.95, 0.95), 1.959964, 0.02)
}

// NIST/SEMATECH e-Handbook 1.3.5.2 (ZARR13, heat flow meter): 195 values.
func TestMeanIntervalZARR13(t *testing.T) {
	y := published.Column(t, "published", "handbook.csv", "ZARR13", "y")
	mean, sd := stat.MeanStdDev(y, nil)
	published.Agrees(t, "mean", mean, 9.261460, 1e-6)
	published.Agrees(t, "sd", sd, 0.02278880, 2e-8)
	i := MeanInterval(mean, sd, len(y), 0.975)
	published.Agrees(t, "lower", i.Lower, 9.258242, 1e-6)
	published.Agrees(t, "upper", i.Upper, 9.264679, 1e-6)
}

// Wilks: 93 values are the fewest whose range holds 95 % of the population with 95 % confidence (classical).
func TestRangeConfidence(t *testing.T) {
	if RangeConfidence(92, 0.95) >= 0.95 || RangeConfidence(93, 0.95) < 0.95 {
		t.Errorf("%v, %v", RangeConfidence(92, 0.95), RangeConfidence(93, 0.95))
	}
}

// NBS Handbook 91, Table A-25 (from memory): order statistics that enclose the median with 95 %.
func TestMedianInterval(t *testing.T) {
	for n, rank := range map[int]float64{6: 1, 9: 2, 10: 2, 12: 3, 20: 6, 25: 8} {
		sorted := make([]float64, n)
		for i := range sorted {
			sorted[i] = float64(i + 1)
		}
		if i := MedianInterval(sorted); i.Lower != rank || i.Upper != float64(n+1)-rank {
			t.Errorf("n %d: %+v, want ranks %v from each end", n, i, rank)
		}
	}
	if i := MedianInterval([]float64{1, 2, 3, 4, 5}); !math.IsInf(i.Lower, -1) {
		t.Errorf("five values: %+v", i)
	}
}

// The intervals cover as often as they say.
func TestToleranceCoverage(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 5))
	const trials, n = 4000, 12
	k := NewToleranceFactors(n, 0.95, 0.95)
	one, two, sds := 0, 0, 0
	for range trials {
		x := make([]float64, n)
		for i := range x {
			x[i] = random.NormFloat64()
		}
		mean, sd := stat.MeanStdDev(x, nil)
		both, _, upper := k.Tolerance(mean, sd)
		if distuv.UnitNormal.CDF(both.Upper)-distuv.UnitNormal.CDF(both.Lower) >= 0.95 {
			two++
		}
		if distuv.UnitNormal.CDF(upper.Upper) >= 0.95 {
			one++
		}
		if i := DeviationInterval(sd, n); i.Lower <= 1 && 1 <= i.Upper {
			sds++
		}
	}
	for what, hits := range map[string]int{"two-sided": two, "one-sided": one, "standard deviation": sds} {
		published.Agrees(t, what, float64(hits)/trials, 0.95, 4*math.Sqrt(0.95*0.05/trials))
	}
}
