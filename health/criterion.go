package health

import (
	"math"

	"ohmledger/health/job"
)

// criterion judges the latest measurement of a cell that counts for a quantity against one limit.
func (g grounds) criterion(s *specimen, limit job.Limit) Criterion {
	i := s.judged(limit.Quantity)
	if i < 0 {
		return g.withheld(limit, s.nothingAccepted())
	}
	o := g.judgeable(s, i, limit.Quantity)
	if o.reason.says() {
		return g.withheld(limit, o.reason)
	}
	c := g.decided(limit, o)
	if i != s.Latest {
		c.Because = because("capacity-beside-rejected", within("why", c.Because), moment("on", s.Measurements[i].Row.MeasuredAt))
		c.Reason = g.say.reason(c.Because)
	}
	return c
}

// judged is the index of the measurement that a quantity is judged at, −1 where there is none. That a spectrum is rejected says
// nothing against a capacity that is stated beside it.
func (s *specimen) judged(q job.Quantity) int {
	if q != job.CapacityAh && q != job.CapacityRetention {
		return s.Latest
	}
	for i := len(s.Measurements) - 1; i > s.Latest; i-- {
		if s.Measurements[i].Row.CapacityAh != nil {
			return i
		}
	}
	return s.Latest
}

// decided applies the job's decision rule to a quantity that was had.
func (g grounds) decided(limit job.Limit, o outcome) Criterion {
	value, u := o.value.Estimate(), o.value.StandardUncertainty()
	e, on := estimate{value, u}, linear
	if measurands[limit.Quantity].ratio {
		if !(limit.Bound > 0) {
			return g.withheld(limit, because("limit-no-growth", number("limit", limit.Bound, One)))
		}
		e, on = estimate{math.Log(value), o.logU}, logarithmic
	}
	c := decide(g.job.DecisionRule, limit, e, on)
	if o.unstated {
		c = compare(limit, value)
	}
	c.Reason = g.say.reason(c.Because)
	c.Quantity, c.Limit, c.Side = limit.Quantity, limit.Bound, limit.Side
	c.Value, c.Contributions = o.value, o.contributions
	if !c.Unstated {
		c.ExpandedUncertainty = g.job.DecisionRule.CoverageFactor * u
	}
	return c
}

// withheld is the criterion of a quantity that could not be had.
func (g grounds) withheld(limit job.Limit, why Statement) Criterion {
	nan := math.NaN()
	return Criterion{
		Quantity: limit.Quantity, Limit: limit.Bound, Side: limit.Side, Reason: g.say.reason(why), Because: why,
		ExpandedUncertainty: nan, Lower: nan, Upper: nan, AcceptanceLimit: nan, ProbabilityOfConformity: nan,
	}
}

// nothingAccepted says why no measurement of a cell can be judged.
func (s *specimen) nothingAccepted() Statement {
	n := len(s.Measurements)
	if n == 0 {
		return because("no-measurement")
	}
	return s.Measurements[n-1].rejection()
}
