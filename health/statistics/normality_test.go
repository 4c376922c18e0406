package statistics

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ohmledger/health/internal/published"
)

// NIST/SEMATECH e-Handbook 1.4.2.8.3 (ZARR13, from memory): 0.129, which is A² times 1 + 4/n − 25/n² there; not
// Rejected. D'Agostino and Stephens (1986), Table 4.7: critical values 0.631, 0.752, 0.873 and 1.035 at 10, 5, 2.5 and 1
// %.
func TestAndersonDarling(t *testing.T) {
	y := published.Column(t, "published", "handbook.csv", "ZARR13", "y")
	n := float64(len(y))
	test := AndersonDarling(y)
	published.Agrees(t, "A²", test.Statistic/(1+0.75/n+2.25/(n*n))*(1+4/n-25/(n*n)), 0.129, 5e-5)
	for p, critical := range map[float64]float64{0.10: 0.631, 0.05: 0.752, 0.025: 0.873, 0.01: 1.035} {
		published.Agrees(t, "probability of the critical value", andersonDarlingP(critical), p, 0.02*p)
	}
	if few := AndersonDarling(y[:7]); !math.IsNaN(few.P) {
		t.Errorf("seven values: %+v", few)
	}
}

// The test rejects five normal samples in a hundred, and finds the lognormal ones.
func TestAndersonDarlingSize(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 71))
	const trials = 3000
	normal, lognormal := 0, 0
	for range trials {
		x, y := make([]float64, 40), make([]float64, 40)
		for i := range x {
			x[i] = random.NormFloat64()
			y[i] = math.Exp(0.6 * random.NormFloat64())
		}
		if AndersonDarling(x).P < 0.05 {
			normal++
		}
		if AndersonDarling(y).P < 0.05 {
			lognormal++
		}
	}
	published.Agrees(t, "size", float64(normal)/trials, 0.05, 4*math.Sqrt(0.05*0.95/trials))
	if lognormal < trials/2 {
		t.Errorf("finds %d of %d", lognormal, trials)
	}
}

func TestProbabilityPlotOfLargeLots(t *testing.T) {
	for _, n := range []int{1, 2, 399, 400, 401, 2000, 100_000} {
		ranks := thinned(n)
		if len(ranks) != min(n, mostProbabilityPoints) || !slices.IsSorted(ranks) || ranks[0] != 0 || ranks[len(ranks)-1] != n-1 || len(slices.Compact(ranks)) != len(ranks) {
			t.Errorf("%d cells: %d points", n, len(ranks))
		}
	}
}
