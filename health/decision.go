package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/job"
)

// rule is a decision rule (JCGM 106:2012; ILAC-G8:09/2019): a verdict from the margin by which a value is on the right side
// of its limit (negative on the wrong side) and the expanded uncertainty.
type rule struct {
	guarded bool // the limit is moved inward by a guard band as wide as the expanded uncertainty
	verdict func(margin, expanded float64) Verdict
}

var rules = map[job.DecisionRuleKind]rule{
	job.Simple:  {false, simple},
	job.Guarded: {true, guarded},
	job.FourWay: {true, fourWay},
}

// simple acceptance. Clause numbers of ILAC-G8 here and below are from memory: 4.2.1.
func simple(margin, _ float64) Verdict {
	if margin >= 0 {
		return Pass
	}
	return Fail
}

// guarded acceptance (ILAC-G8, 4.2.2): at the acceptance limit a conforming value is falsely accepted with 2.3 % at most, k = 2.
func guarded(margin, expanded float64) Verdict {
	if margin >= expanded {
		return Pass
	}
	return Fail
}

// fourWay is the non-binary statement with guard bands on both sides (ILAC-G8, 4.2.3).
func fourWay(margin, expanded float64) Verdict {
	switch {
	case margin >= expanded:
		return Pass
	case margin >= 0:
		return ConditionalPass
	case margin >= -expanded:
		return ConditionalFail
	}
	return Fail
}

// found says what each rule found. Where an outcome does not tell which side the value is on, margin does.
func found(kind job.DecisionRuleKind, v Verdict, margin float64) Statement {
	switch {
	case kind == job.Simple && v == Pass:
		return because("meets")
	case v == Pass:
		return because("meets-by-uncertainty")
	case margin >= 0:
		return because("meets-within-uncertainty")
	case v == ConditionalFail:
		return because("misses-within-uncertainty")
	case kind == job.FourWay:
		return because("misses-by-uncertainty")
	}
	return because("misses")
}

// scale is what a quantity is decided on: itself, or its logarithm.
type scale struct{ onto, back func(float64) float64 }

var (
	linear      = scale{func(x float64) float64 { return x }, func(x float64) float64 { return x }}
	logarithmic = scale{math.Log, math.Exp}
)

// estimate is a value with its standard uncertainty on the scale that it is decided on.
type estimate struct{ value, uncertainty float64 }

// rounding is what a margin may be off by because decimals are not binary: 2.2 Ah of 2.5 Ah meets a limit of 0.88.
const rounding = 1e-14

// decide judges an estimate against a limit; the bound stands on the quantity's own scale. Of the criterion it fills what
// the decision makes: interval, acceptance limit, verdict and probability; and why.
func decide(by job.DecisionRule, limit job.Limit, e estimate, on scale) (c Criterion) {
	sign := 1.0 // turns a lower limit into an upper one
	if limit.Side == job.Min {
		sign = -1
	}
	bound, expanded := on.onto(limit.Bound), by.CoverageFactor*e.uncertainty
	margin, r := sign*(bound-e.value), rules[by.Kind]
	margin += rounding * (math.Abs(bound) + math.Abs(e.value) + expanded)
	c.Lower, c.Upper = on.back(e.value-expanded), on.back(e.value+expanded)
	c.AcceptanceLimit = limit.Bound
	if r.guarded {
		c.AcceptanceLimit = on.back(bound - sign*expanded)
	}
	c.Verdict = r.verdict(margin, expanded)
	c.ProbabilityOfConformity = conformity(margin, e.uncertainty)
	c.Because = found(by.Kind, c.Verdict, margin)
	return c
}

// compare judges a value whose uncertainty nobody states, by simple comparison whatever the rule: there is nothing that a guard
// band or a probability could be made of.
func compare(limit job.Limit, value float64) (c Criterion) {
	nan := math.NaN()
	c = decide(job.DecisionRule{Kind: job.Simple}, limit, estimate{value, 0}, linear)
	c.Unstated, c.ExpandedUncertainty, c.Lower, c.Upper, c.ProbabilityOfConformity = true, nan, nan, nan, nan
	c.Because = because("meets-none-stated")
	if c.Verdict != Pass {
		c.Because = because("misses-none-stated")
	}
	return c
}

// conformity is the probability that the quantity meets its limit, for a normal distribution about the estimate (JCGM 106:2012, 7.3; clause from memory).
func conformity(margin, uncertainty float64) float64 {
	switch {
	case uncertainty > 0:
		return distuv.UnitNormal.CDF(margin / uncertainty)
	case margin >= 0:
		return 1
	}
	return 0
}
