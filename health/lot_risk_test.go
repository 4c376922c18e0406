package health

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// JCGM 106:2012, 9.5.4: ball bearings, production Gamma(4, 0.25 µm), upper limit 2 µm, u 0.25 µm, no guard band; 4.2 % nonconforming, consumer's risk 0.8 %.
func TestGlobalRiskBallBearings(t *testing.T) {
	production := distuv.Gamma{Alpha: 4, Beta: 4}
	none := math.Inf(-1)
	r := conformance{none, 2, none, 2}.risks(production.Prob, 0, 12, 0.25)
	near(t, "nonconforming", r.Nonconforming, 0.0423801, 1e-7)
	near(t, "consumer's risk", r.Consumers, 0.00801911, 1e-8)
	near(t, "producer's risk", r.Producers, 0.0174, 5e-5)
}

// JCGM 106:2012, clause 9 (inputs from memory): 1500 Ω resistors, u0 0.12 Ω, limits ± 0.2 Ω, u 0.04 Ω; outputs computed. A guard band as wide as the expanded
// uncertainty rejects a quarter of the line.
func TestGlobalRiskResistors(t *testing.T) {
	line := distuv.Normal{Mu: 1500, Sigma: 0.12}
	for _, c := range []struct{ guard, consumers, producers float64 }{
		{0, 0.018942, 0.037208}, {0.02, 0.009878, 0.069027}, {0.04, 0.004334, 0.114657}, {0.08, 0.0004686, 0.247670},
	} {
		r := conformance{1499.8, 1500.2, 1499.8 + c.guard, 1500.2 - c.guard}.risks(line.Prob, 1498.9, 1501.1, 0.04)
		near(t, "nonconforming", r.Nonconforming, 0.09558, 5e-6)
		near(t, "consumer's risk", r.Consumers, c.consumers, 6e-7)
		near(t, "producer's risk", r.Producers, c.producers, 6e-7)
	}
}

// The risks of a lot are what happens when its cells are measured.
func TestGlobalRisksOfALot(t *testing.T) {
	j := deliveryJob()
	j.GroupBy, j.DecisionRule = "", job.DecisionRule{Kind: job.Guarded, CoverageFactor: 2}
	j.Limits = []job.Limit{{Quantity: job.ChargeTransferOhm, Side: job.Max, Bound: 0.0155}}
	all, suspect := newCells(500)
	cells := slices.DeleteFunc(slices.Clone(all), func(c LotCell) bool { return slices.Contains(suspect, c.Name) })
	q := LotOf(j, cells, nil).Quantities[0]
	if len(q.Risks) != 1 {
		t.Fatalf("%+v", q.Risks)
	}
	random := rand.New(rand.NewPCG(40, 4))
	const trials = 200_000
	nonconforming, consumers, producers := 0.0, 0.0, 0.0
	u := math.Hypot(0.01, 0.003)
	for range trials {
		truth := math.Log(0.015) + 0.02*random.NormFloat64()
		bad, passed := truth > math.Log(0.0155), truth+u*random.NormFloat64() <= math.Log(0.0155)-2*u
		switch {
		case bad && passed:
			consumers += 1.0 / trials
		case !bad && !passed:
			producers += 1.0 / trials
		}
		if bad {
			nonconforming += 1.0 / trials
		}
	}
	near(t, "nonconforming", q.Risks[0].Nonconforming, nonconforming, 0.02)
	near(t, "consumer's risk", q.Risks[0].Consumers, consumers, 0.001)
	near(t, "producer's risk", q.Risks[0].Producers, producers, 0.05)
	for i := range cells {
		cells[i].Values[0].Value = cells[i].Values[0].Value.Scale(math.Exp(0.1 * float64(i%2))) // two heaps
	}
	if q := LotOf(j, cells, nil).Quantities[0]; q.Risks != nil {
		t.Errorf("two heaps: %+v", q.Risks)
	}
}

// No risk is stated from a law that does not describe the lot, nor from one that was fitted without the cells beyond the limit.
func TestGlobalRisksAreRefused(t *testing.T) {
	j := deliveryJob()
	j.DecisionRule = job.DecisionRule{Kind: job.Guarded, CoverageFactor: 2}
	j.Limits = []job.Limit{{Quantity: job.ChargeTransferOhm, Side: job.Max, Bound: 0.0165}, {Quantity: job.ChargeTransferOhm, Side: job.Min, Bound: 0.010}}
	cells, suspect := newCells(500)
	q := LotOf(j, cells, nil).Quantities[0]
	if q.Adopted >= 0 || q.Risks != nil || !slices.Equal(q.NoRisks, []string{noLawForRisks, noLawForRisks}) {
		t.Errorf("law %d, risks %+v, %q", q.Adopted, q.Risks, q.NoRisks)
	}
	// One outlier among many is beyond the upper limit: nothing is wrong at the lower one.
	few := slices.DeleteFunc(cells, func(c LotCell) bool { return slices.Contains(suspect, c.Name) })[:150]
	few[7].Values = slices.Clone(few[7].Values)
	few[7].Values[0].Value = fit.NewValue(0.0166, 2e-4)
	q = LotOf(j, few, nil).Quantities[0]
	if q.Adopted < 0 || len(q.Outliers.Cells) != 1 || len(q.Risks) != 1 || !slices.Equal(q.NoRisks, []string{outliersBeyond, ""}) {
		t.Errorf("law %d, %d outliers, risks %+v, %q", q.Adopted, len(q.Outliers.Cells), q.Risks, q.NoRisks)
	}
}
