package sampling

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/internal/published"
)

// MIL-STD-105E, Table X, in percent nonconforming (Poisson), and exact binomial values.
func TestOperatingCharacteristic(t *testing.T) {
	k := poissonCharacteristic(125, 3)
	for i, want := range []float64{0.6586, 1.0931, 1.3958, 2.0283, 2.9376, 4.0875, 5.3446, 6.2029, 8.0361} {
		published.Agrees(t, "K", k.Table()[i].PercentNonconforming, want, 6e-5)
	}
	for _, c := range []struct {
		n, most    int
		at95, at10 float64
	}{{50, 1, 0.7107, 7.779}, {80, 2, 1.0221, 6.6529}} {
		oc := poissonCharacteristic(c.n, c.most)
		published.Agrees(t, "95 %", 100*oc.QualityAt(0.95), c.at95, 6e-5)
		published.Agrees(t, "10 %", 100*oc.QualityAt(0.10), c.at10, 6e-4)
	}
	b := BinomialCharacteristic(125, 3)
	published.Agrees(t, "binomial, 95 %", 100*b.QualityAt(0.95), 1.1003, 6e-5)
	published.Agrees(t, "binomial, 50 %", 100*b.QualityAt(0.50), 2.9298, 6e-5)
	published.Agrees(t, "binomial, 10 %", 100*b.QualityAt(0.10), 5.2663, 6e-5)
	published.Agrees(t, "binomial at 1 %", b(0.01), 0.962551, 1e-6)
	published.Agrees(t, "Poisson at 1 %", k(0.01), 0.961731, 1e-6)
}

// A lot drawn from without replacement: by counting, and towards the binomial law as the lot grows.
func TestHypergeometric(t *testing.T) {
	h := HypergeometricCharacteristic(10, 3, 0)
	published.Agrees(t, "two of ten", h(0.2), 8.0*7*6/(10*9*8), 1e-12) // the three drawn are among the eight good ones
	published.Agrees(t, "all inspected", HypergeometricCharacteristic(20, 20, 1)(0.1), 0, 1e-12)
	published.Agrees(t, "all inspected, one allowed", HypergeometricCharacteristic(20, 20, 1)(0.05), 1, 1e-12)
	published.Agrees(t, "endless", HypergeometricCharacteristic(10_000_000, 80, 2)(0.03), BinomialCharacteristic(80, 2)(0.03), 1e-5)
	lot := FiniteTable(h, 10)
	for _, p := range lot {
		if h(p.PercentNonconforming/100) < p.Acceptance || h(p.PercentNonconforming/100+0.1) >= p.Acceptance {
			t.Errorf("%+v", p)
		}
	}
}

// None of 13 nonconforming: upper 95 % limit 1 − 0.05^(1/13).
func TestUpperFraction(t *testing.T) {
	published.Agrees(t, "0 of 13", UpperFraction(0, 13, 0.95), 0.2058, 5e-5)
	published.Agrees(t, "0 of 13", UpperFraction(0, 13, 0.95), 1-math.Pow(0.05, 1.0/13), 1e-12)
	published.Agrees(t, "all", UpperFraction(5, 5, 0.95), 1, 0)
}

// Every Characteristic falls from 1 to 0.
func TestCharacteristicsFall(t *testing.T) {
	for name, c := range map[string]Characteristic{
		"binomial": BinomialCharacteristic(80, 2), "poisson": poissonCharacteristic(80, 2),
		"hypergeometric": HypergeometricCharacteristic(200, 80, 2), "variables": VariablesCharacteristic(20, 1.82),
	} {
		before := 1.0
		for _, p := range c.Curve(0.5) {
			if p.Acceptance > before+1e-12 {
				t.Errorf("%s rises at %v %%", name, p.PercentNonconforming)
			}
			before = p.Acceptance
		}
		published.Agrees(t, name, c(0), 1, 1e-12)
		if c(0.5) > 1e-3 {
			t.Errorf("%s: %v at one half", name, c(0.5))
		}
	}
}

// Form 1 and form 2 are one rule, and the estimate has no bias.
func TestFractionBeyond(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 9))
	const trials, n = 20_000, 7
	sum := 0.0
	for range trials {
		x := make([]float64, n)
		for i := range x {
			x[i] = random.NormFloat64()
		}
		mean, sd := stat.MeanStdDev(x, nil)
		sum += FractionBeyond((1.5-mean)/sd, n) / trials
	}
	published.Agrees(t, "mean of the estimates", sum, 1-distuv.UnitNormal.CDF(1.5), 0.002)
	if !(FractionBeyond(1.54, 5) < FractionBeyond(1.53, 5)) {
		t.Error("the estimate does not fall with the distance")
	}
	published.Agrees(t, "far inside", FractionBeyond(100, 5), 0, 0)
	published.Agrees(t, "far outside", FractionBeyond(-100, 5), 1, 0)
}

// poissonCharacteristic is what the curves of MIL-STD-105E are drawn by.
func poissonCharacteristic(n, accept int) Characteristic {
	return func(p float64) float64 {
		if p <= 0 {
			return 1
		}
		return distuv.Poisson{Lambda: float64(n) * p}.CDF(float64(accept))
	}
}
