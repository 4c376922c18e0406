package health

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/job"
)

func upper(bound float64) job.Limit { return job.Limit{Side: job.Max, Bound: bound} }
func lower(bound float64) job.Limit { return job.Limit{Side: job.Min, Bound: bound} }

func by(kind job.DecisionRuleKind) job.DecisionRule {
	return job.DecisionRule{Kind: kind, CoverageFactor: 2}
}

// JCGM 106:2012, table 1: z = (T_U − y)/u for a conformance probability.
func TestProbabilityOfConformityPublished(t *testing.T) {
	for _, c := range []struct{ z, p float64 }{{0.84, 0.80}, {1.28, 0.90}, {1.64, 0.95}, {2.33, 0.99}, {3.09, 0.999}} {
		near(t, "z of table 1", distuv.UnitNormal.Quantile(c.p), c.z, 0.005+1e-9)
		near(t, "conformity", conformity(c.z*0.4, 0.4), c.p, 0.002)
	}
}

// JCGM 106:2012, breakdown voltage of a diode (from memory): −5.47 V against −5.40 V at most, u 0.05 V.
func TestBreakdownVoltage(t *testing.T) {
	c := decide(by(job.Simple), upper(-5.40), estimate{-5.47, 0.05}, linear)
	near(t, "conformity", c.ProbabilityOfConformity, 0.92, 0.005)
	near(t, "conformity, Φ(1.4)", c.ProbabilityOfConformity, 0.9192433, 1e-6)
}

// JCGM 106:2012, kinematic viscosity between two limits (from memory): what both one-sided criteria leave of 1.
func TestViscosityBetweenTwoLimits(t *testing.T) {
	e := estimate{13.6, 1.8}
	low, high := decide(by(job.Simple), lower(12.5), e, linear), decide(by(job.Simple), upper(16.3), e, linear)
	near(t, "conformity", low.ProbabilityOfConformity+high.ProbabilityOfConformity-1, 0.66, 0.005)
}

// JCGM 106:2012, speed with guarded rejection (from memory): at 106.6 km/h with u 2 % the limit 100 km/h is exceeded with 99.9 %.
func TestSpeedLimit(t *testing.T) {
	y := 100 / (1 - 0.02*distuv.UnitNormal.Quantile(0.999))
	near(t, "speed", y, 106.6, 0.05)
	c := decide(by(job.FourWay), upper(100), estimate{y, 0.02 * y}, linear)
	near(t, "conformity", c.ProbabilityOfConformity, 0.001, 1e-6)
	if c.Verdict != Fail {
		t.Errorf("verdict %v", c.Verdict)
	}
}

// ILAC-G8:09/2019: probability of accepting falsely at the acceptance limit, by the width of the guard band in units of U = 2u
// (common practice beside the quoted 50 % and 2.5 %).
func TestGuardBandRisk(t *testing.T) {
	for _, c := range []struct{ widths, risk, tolerance float64 }{{0, 0.50, 1e-12}, {0.83, 0.0485, 0.0005}, {1, 0.02275, 5e-6}, {1.5, 0.00135, 5e-6}, {3, 1e-9, 5e-10}} {
		rule := job.DecisionRule{Kind: job.Guarded, CoverageFactor: 2 * c.widths}
		at := decide(rule, upper(10), estimate{5, 0.3}, linear).AcceptanceLimit
		accepted := decide(rule, upper(10), estimate{at, 0.3}, linear)
		near(t, "risk", 1-accepted.ProbabilityOfConformity, c.risk, c.tolerance)
	}
}

// ILAC-G8:09/2019, non-binary statement for an upper limit of 10 with U = 1, and its mirror image.
func TestVerdictsOfEveryRule(t *testing.T) {
	for _, c := range []struct {
		y                        float64
		simple, guarded, fourWay Verdict
	}{
		{8.5, Pass, Pass, Pass}, {9, Pass, Pass, Pass}, {9.5, Pass, Fail, ConditionalPass}, {10, Pass, Fail, ConditionalPass},
		{10.5, Fail, Fail, ConditionalFail}, {11, Fail, Fail, ConditionalFail}, {11.5, Fail, Fail, Fail},
	} {
		for kind, want := range map[job.DecisionRuleKind]Verdict{job.Simple: c.simple, job.Guarded: c.guarded, job.FourWay: c.fourWay} {
			if got := decide(by(kind), upper(10), estimate{c.y, 0.5}, linear); got.Verdict != want || got.Because.Code == "" {
				t.Errorf("%s, at most 10, %v ± 0.5: %v %q, want %v", kind, c.y, got.Verdict, got.Because.Code, want)
			}
			if got := decide(by(kind), lower(-10), estimate{-c.y, 0.5}, linear).Verdict; got != want {
				t.Errorf("%s, at least −10, %v ± 0.5: %v, want %v", kind, -c.y, got, want)
			}
		}
	}
}

func TestIntervalOfAGrowthIsThatOfItsLogarithm(t *testing.T) {
	c := decide(by(job.Guarded), upper(2), estimate{math.Log(1.6), 0.1}, logarithmic)
	near(t, "lower", c.Lower, 1.6*math.Exp(-0.2), 1e-12)
	near(t, "upper", c.Upper, 1.6*math.Exp(0.2), 1e-12)
	near(t, "acceptance limit", c.AcceptanceLimit, 2*math.Exp(-0.2), 1e-12)
	near(t, "conformity", c.ProbabilityOfConformity, distuv.UnitNormal.CDF(math.Log(2/1.6)/0.1), 1e-12)
	if c := decide(by(job.Guarded), lower(0.5), estimate{0, 0.1}, logarithmic); c.AcceptanceLimit <= 0.5 {
		t.Errorf("a lower limit is guarded upward, got %v", c.AcceptanceLimit)
	}
}

func TestWithoutUncertaintyEveryRuleIsSimple(t *testing.T) {
	for kind := range rules {
		for _, y := range []float64{9, 10, 11} {
			got := decide(by(kind), upper(10), estimate{y, 0}, linear)
			want := decide(by(job.Simple), upper(10), estimate{y, 0}, linear)
			if got.Verdict != want.Verdict || got.AcceptanceLimit != 10 || got.ProbabilityOfConformity != want.ProbabilityOfConformity {
				t.Errorf("%s %v: %+v", kind, y, got)
			}
		}
	}
}

// Decimals that meet a limit exactly meet it, though their binary neighbours may not.
func TestDecimalsAtTheLimit(t *testing.T) {
	for _, c := range []struct{ value, u, bound float64 }{{2.1 / 2.5, 0, 0.84}, {2.2 / 2.5, 0, 0.88}, {1.8, 0.1, 1.6}, {0.3, 0.05, 0.2}, {0.7, 0.05, 0.6}} {
		if got := decide(by(job.Guarded), lower(c.bound), estimate{c.value, c.u}, linear); got.Verdict != Pass {
			t.Errorf("%v ± %v against %v at least: %v", c.value, 2*c.u, c.bound, got.Verdict)
		}
	}
}

// Laws of the decision over random estimates: no rule betters a verdict for a stricter limit or for a larger uncertainty that a
// guard band answers to; scaling everything changes nothing.
func TestDecisionLaws(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		e := estimate{random.NormFloat64(), random.ExpFloat64()}
		limit := upper(random.NormFloat64())
		if random.IntN(2) == 0 {
			limit.Side = job.Min
		}
		stricter := limit
		if tighter := random.ExpFloat64(); limit.Side == job.Max {
			stricter.Bound -= tighter
		} else {
			stricter.Bound += tighter
		}
		for kind := range rules {
			plain := decide(by(kind), limit, e, linear)
			if strict := decide(by(kind), stricter, e, linear); strict.Verdict < plain.Verdict {
				t.Fatalf("%s %+v: %v against %+v, but %v against %+v", kind, e, plain.Verdict, limit, strict.Verdict, stricter)
			}
			big := limit
			big.Bound *= 1024 // a power of two scales without rounding
			if scaled := decide(by(kind), big, estimate{1024 * e.value, 1024 * e.uncertainty}, linear); scaled.Verdict != plain.Verdict {
				t.Fatalf("%s: scaling turned %v into %v", kind, plain.Verdict, scaled.Verdict)
			}
		}
		vaguer := estimate{e.value, e.uncertainty + random.ExpFloat64()}
		if decide(by(job.Guarded), limit, e, linear).Verdict == Fail && decide(by(job.Guarded), limit, vaguer, linear).Verdict == Pass {
			t.Fatalf("more uncertainty turned a guarded failure of %+v against %+v into a pass", e, limit)
		}
	}
}

// A rejected spectrum takes nothing from the capacity that is stated beside it.
func TestCapacityBesideARejectedSpectrum(t *testing.T) {
	at := func(days int, ah float64) job.Measurement {
		r := row("A", days, 25)
		r.CapacityAh = pointer(ah)
		return r
	}
	b := newBench().add(fresh, at(0, 2.5)).add(fresh, at(100, 2.4)).add(fresh, at(200, 1.8))
	b.job.Limits = append(b.job.Limits, job.Limit{Quantity: job.CapacityRetention, Side: job.Min, Bound: 0.8})
	for i := range b.inputs[2].Spectrum.Impedance {
		b.inputs[2].Spectrum.Impedance[i] *= complex(1+0.5*float64(i%2), 0)
	}
	c := b.assess(t).Cells.At(0)
	k := criterionOf(t, c, job.CapacityRetention)
	if c.Latest != 1 || k.Verdict != Fail || c.Verdict != Fail || k.Because.Code != "capacity-beside-rejected" {
		t.Errorf("judged at %d, capacity %v (%v), cell %v", c.Latest, k.Verdict, k.Because, c.Verdict)
	}
	near(t, "retention", k.Value.Estimate(), 1.8/2.5, 1e-12)

	b.job.Limits = []job.Limit{{Quantity: job.CapacityRetention, Side: job.Min, Bound: 0.7}}
	for i := range b.inputs {
		b.inputs[i].Spectrum = b.inputs[2].Spectrum
	}
	if c := b.assess(t).Cells.At(0); c.Latest != -1 || c.Verdict != Pass {
		t.Errorf("no spectrum counts: %d, %v %q", c.Latest, c.Verdict, c.Reason)
	}
}
