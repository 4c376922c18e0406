package health

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"ohmledger/health/internal/published"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
)

// NIST StRD, univariate: certified mean, standard deviation and lag-1 autocorrelation. NumAcc4 breaks the one-pass
// formula of the variance.
func TestCertifiedUnivariate(t *testing.T) {
	numAcc4 := []float64{10000000.2}
	for range 500 {
		numAcc4 = append(numAcc4, 10000000.1, 10000000.3)
	}
	for _, c := range []struct {
		values         []float64
		mean, sd, lag1 float64
		tolerance      float64 // of the standard deviation, relative: NumAcc4's data have seven digits before the tenths
	}{
		{published.Column(t, "published", "univariate.csv", "Michelso", "y"), 299.8524, 0.0790105478190518, 0.535199668621283, 1e-12},
		{published.Column(t, "published", "univariate.csv", "Mavro", "y"), 2.001856, 4.29123454003053e-4, 0.937989183438248, 1e-11},
		{numAcc4, 10000000.2, 0.1, -0.999, 1e-7},
	} {
		sorted := slices.Sorted(slices.Values(c.values))
		s := summarise(sorted)
		near(t, "mean", s.Mean, c.mean, 1e-13*c.mean)
		near(t, "standard deviation", s.StandardDeviation, c.sd, c.tolerance*c.sd)
		near(t, "lag 1", lagOne(c.values), c.lag1, 1e-6)
	}
}

// NIST/SEMATECH e-Handbook 7.2.6.2 (data from memory): the 90th percentile of 12 gauge readings is 95.1981.
func TestQuantileHandbook(t *testing.T) {
	y := []float64{95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610, 95.1591, 95.1195, 95.1065, 95.0925, 95.1990, 95.1682}
	slices.Sort(y)
	near(t, "90 %", quantileAt(y, 0.90), 95.1981, 5e-5)
	near(t, "lowest", quantileAt(y, 0.01), 95.0610, 0)
	near(t, "highest", quantileAt(y, 0.99), 95.1990, 0)
	near(t, "median", quantileAt(y, 0.5), statistics.Median(y), 1e-12)
}

// A lot that is lognormal is said to be, with limits of its own shape.
func TestDistributionIsChosen(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	x := make([]float64, 300)
	for i := range x {
		x[i] = 0.02 * math.Exp(0.4*random.NormFloat64())
	}
	slices.Sort(x)
	fits := distributions(x, []job.Limit{{Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.05}})
	if a := adopted(fits); a != 1 || fits[a].Law != "lognormal" {
		t.Fatalf("adopted %d of %+v", a, fits)
	}
	d := fits[1]
	near(t, "median", math.Exp(d.Location), 0.02, 0.002)
	near(t, "symmetric in ratio", d.Tolerance.Lower*d.Tolerance.Upper, math.Exp(2*d.Location), 1e-12)
	if !(d.PlotCorrelation > 0.99 && fits[0].PlotCorrelation < d.PlotCorrelation) || len(d.Plot) != 300 {
		t.Errorf("correlations %v and %v", fits[0].PlotCorrelation, d.PlotCorrelation)
	}
	near(t, "index on the logarithm", d.Capability.Cpk.Value, (math.Log(0.05)-d.Location)/(3*d.Scale), 1e-12)
}

// NIST/SEMATECH e-Handbook 6.1.6 and the GEAR data of 1.4.2 and 1.3.5.4: limits 0.99 and 1.01.
func TestCapability(t *testing.T) {
	c := indices(50, 16, 2, 8, 20)
	near(t, "Cp", c.Cp.Value, 1, 1e-12)
	near(t, "Cpk", c.Cpk.Value, 0.6667, 5e-5)
	y := published.Column(t, "published", "handbook.csv", "GEAR", "y")
	mean, sd := stat.MeanStdDev(y, nil)
	near(t, "mean", mean, 0.99764, 1e-9)
	near(t, "sd", sd, 0.006278905, 1e-9)
	c = indices(len(y), mean, sd, 0.99, 1.01)
	near(t, "Cp", c.Cp.Value, 0.530878, 1e-6)
	near(t, "Cpk", c.Cpk.Value, 0.405591, 1e-6)
	if !(c.Cp.Interval.Lower < c.Cp.Value && c.Cp.Value < c.Cp.Interval.Upper && c.CpkLower.Exact && !c.Cpk.Exact) {
		t.Errorf("%+v", c)
	}
	// Bissell's approximation and the exact one-sided interval are near each other in a sample of 100.
	near(t, "lower", c.CpkLower.Interval.Lower, c.Cpk.Interval.Lower, 0.01)
	near(t, "upper", c.CpkLower.Interval.Upper, c.Cpk.Interval.Upper, 0.01)
}

// A one-sided index is covered by its interval as often as it says.
func TestCapabilityCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	random := rand.New(rand.NewPCG(4, 2))
	const trials = 600
	hits := 0
	for range trials {
		x := make([]float64, 9)
		for i := range x {
			x[i] = random.NormFloat64()
		}
		mean, sd := stat.MeanStdDev(x, nil)
		if i := indices(9, mean, sd, math.NaN(), 3.6).Cpk.Interval; i.Lower <= 1.2 && 1.2 <= i.Upper {
			hits++
		}
	}
	near(t, "coverage", float64(hits)/trials, 0.95, 4*math.Sqrt(0.95*0.05/trials))
}

// Thirteen trials with their variances, a data set that this estimate is commonly shown on (Colditz et al., JAMA 271
// (1994) 698; Viechtbauer, Stat. Med. 26 (2007) 37; data from memory): Q 152.23, 95 % interval of τ² 0.1197 to 1.1115.
func TestSeparationPublished(t *testing.T) {
	y := []float64{-0.8893, -1.5854, -1.3481, -1.4416, -0.2175, -0.7861, -1.6209, 0.0120, -0.4694, -1.3713, -0.3394, 0.4459, -0.0173}
	v := []float64{0.3256, 0.1946, 0.4154, 0.0200, 0.0512, 0.0069, 0.2230, 0.0040, 0.0564, 0.0730, 0.0124, 0.5325, 0.0714}
	u := make([]float64, len(v))
	for i := range v {
		u[i] = math.Sqrt(v[i])
	}
	near(t, "Q", statistics.WeightedSquares(y, u, 0), 152.23, 0.7) // the variances have four decimals
	s := separate(y, u)
	near(t, "lower", square(s.OwnInterval.Lower), 0.1197, 1e-3)
	near(t, "upper", square(s.OwnInterval.Upper), 1.1115, 2e-3)
	near(t, "Q − (n − 1)", statistics.WeightedSquares(y, u, square(s.Own)), 12, 1e-9)
}

// What the cells differ by is found again beneath what measuring adds, as often as the interval says.
func TestSeparationCoverage(t *testing.T) {
	random := rand.New(rand.NewPCG(14, 2))
	const trials, n, own = 800, 30, 0.05
	hits, none := 0, 0
	for range trials {
		x, alike, u := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range x {
			u[i] = 0.02 + 0.06*random.Float64()
			alike[i] = u[i] * random.NormFloat64()
			x[i] = alike[i] + own*random.NormFloat64()
		}
		if s := separate(x, u); s.OwnInterval.Lower <= own && own <= s.OwnInterval.Upper {
			hits++
		}
		if separate(alike, u).OwnInterval.Lower == 0 {
			none++
		}
	}
	near(t, "coverage", float64(hits)/trials, 0.95, 4*math.Sqrt(0.95*0.05/trials))
	near(t, "nothing of their own", float64(none)/trials, 0.975, 4*math.Sqrt(0.975*0.025/trials))
}

func TestSeparationWithoutUncertainty(t *testing.T) {
	x := []float64{1, 2, 4, 7}
	s := separate(x, make([]float64, 4))
	near(t, "all of it", s.Own, s.Observed, 1e-6)
	near(t, "share", s.Share, 0, 0)
	near(t, "nothing", separate([]float64{2, 2, 2}, make([]float64, 3)).Own, 0, 0)
}

// NIST/SEMATECH e-Handbook 1.3.5.4, one-factor analysis of the GEAR data (from memory): F 2.2969 with 9 and 90 degrees
// of freedom, 97.734 %.
func TestAnalysisOfVarianceGear(t *testing.T) {
	samples := make([][]float64, 10)
	batch := published.Column(t, "published", "handbook.csv", "GEAR", "x")
	for i, y := range published.Column(t, "published", "handbook.csv", "GEAR", "y") {
		b := int(batch[i]) - 1
		samples[b] = append(samples[b], y)
	}
	b := analysisOfVariance(samples)
	near(t, "F", b.F, 2.2969, 5e-5)
	near(t, "P", b.P, 1-0.97734, 1e-5)
	near(t, "freedom", b.NumeratorFreedom+b.ErrorFreedom, 99, 0)
	near(t, "spread", b.Spread, math.Sqrt((0.000729/9-0.003174/90)/10), 1e-5)
}

func TestHistogram(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 3))
	for _, n := range []int{1, 2, 7, 300, 5000} {
		x := make([]float64, n)
		for i := range x {
			x[i] = 0.02 + 0.001*random.NormFloat64()
		}
		x[0] = 0.5 // far out
		slices.Sort(x)
		h := histogram(x)
		sum := 0
		for _, c := range h.Counts {
			sum += c
		}
		if sum != n || len(h.Edges) != len(h.Counts)+1 || len(h.Counts) > mostBins+2 || h.Edges[0] > x[0] || h.Edges[len(h.Edges)-1] < x[n-1] {
			t.Errorf("%d values: %d counted in %d bins", n, sum, len(h.Counts))
		}
	}
	if h := histogram([]float64{2, 2}); !slices.Equal(h.Counts, []int{2}) {
		t.Errorf("equal values: %+v", h)
	}
	if h := histogram([]float64{0, 1, 2, 3, 4, 5}); !slices.Equal(h.Counts, []int{1, 1, 1, 1, 1, 1}) {
		t.Errorf("values on edges: %+v", h)
	}
}

func TestNaturalOrder(t *testing.T) {
	names := []string{"P10", "P2", "", "P2b", "P02", "A", "P1", "10", "9"}
	slices.SortFunc(names, naturally)
	if want := []string{"", "9", "10", "A", "P1", "P02", "P2", "P2b", "P10"}; !slices.Equal(names, want) {
		t.Errorf("%q", names)
	}
}

// lagOne is the lag-1 autocorrelation as NIST StRD defines it.
func lagOne(x []float64) float64 {
	mean := stat.Mean(x, nil)
	top, bottom := 0.0, 0.0
	for i := range x {
		bottom += square(x[i] - mean)
		if i > 0 {
			top += (x[i] - mean) * (x[i-1] - mean)
		}
	}
	return top / bottom
}
