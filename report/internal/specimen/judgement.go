package specimen

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// follow fills in what follows from a fit and the baseline.
// endOfLife is the growth that ends a cell's life.
func (c course) follow(m *health.Measurement, b *health.Baseline, endOfLife float64) {
	t := m.Row.TemperatureC
	ohmic := resistance{m.Fit.Ohmic, b.Ohmic, energyOhmic}
	chargeTransfer := resistance{m.Fit.ChargeTransfer, b.ChargeTransfer, energyChargeTransfer}
	arcs := resistance{m.Fit.Polarisation, b.Polarisation, energyChargeTransfer}
	m.ChargeTransferGrowth = grown(t, b.TemperatureC, "the charge-transfer resistance is not resolved", chargeTransfer)
	m.OhmicGrowth = grown(t, b.TemperatureC, "the ohmic resistance is not resolved", ohmic)
	m.TotalGrowth = grown(t, b.TemperatureC, "the arcs are not resolved", ohmic, arcs)
	m.OhmicAtReference, m.ChargeTransferAtReference = ohmic.at(t, referenceC), chargeTransfer.at(t, referenceC)
	if m.Row.Sensing == "2-wire" {
		m.OhmicGrowth = health.Growth{Reason: "sensing differs from the baseline's: leads are part of it"}
		m.TotalGrowth, m.OhmicAtReference = m.OhmicGrowth, fit.Value{}
	}
	if m.Row.CapacityAh != nil && b.CapacityAh.Known() {
		m.CapacityRetention = fit.NewValue(*m.Row.CapacityAh/b.CapacityAh.Estimate(), 0)
	}
	if t > 35 {
		gone := health.Growth{Reason: "measured at 38.5 °C, outside 15 °C to 35 °C"}
		m.ChargeTransferGrowth, m.OhmicGrowth, m.TotalGrowth = gone, gone, gone
		m.OhmicAtReference, m.ChargeTransferAtReference = fit.Value{}, fit.Value{}
	}
	if g := m.ChargeTransferGrowth.Ratio; g.Known() {
		span := endOfLife - 1
		m.ResistanceStateOfHealth = fit.NewValue((endOfLife-g.Estimate())/span, g.StandardUncertainty()/span) // (R_EoL − R)/(R_EoL − R_new)
	}
}

// resistance is one with its baseline and activation energy.
type resistance struct {
	now, then fit.Value
	energy    float64
}

// at is the resistance as it would be at another temperature.
func (r resistance) at(celsius, than float64) fit.Value {
	return r.now.Scale(1 / arrhenius(r.energy, celsius, than))
}

// grown is the growth of a sum of resistances; its uncertainty is that of the first.
func grown(celsius, baselineC float64, reason string, parts ...resistance) health.Growth {
	now, then := 0.0, 0.0
	for _, r := range parts {
		if !r.now.Known() || !r.then.Known() {
			return health.Growth{Reason: reason}
		}
		now, then = now+r.at(celsius, baselineC).Estimate(), then+r.then.Estimate()
	}
	u := []float64{parts[0].now.Relative(), parts[0].then.Relative(), uScale}
	variance := u[0]*u[0] + u[1]*u[1] + u[2]*u[2]
	logU := math.Sqrt(variance)
	g := health.Growth{Ratio: fit.NewValue(now/then, now/then*logU), LogU: logU}
	for i, source := range []string{"fit of this spectrum", "fit of the baseline", "cell temperature"} {
		g.Contributions = append(g.Contributions, health.Contribution{Source: source, U: u[i], Share: u[i] * u[i] / variance})
	}
	return g
}

func notEvaluated(l job.Limit, reason string) health.Criterion {
	nan := math.NaN()
	return health.Criterion{Quantity: l.Quantity, Limit: l.Bound, Side: l.Side, Reason: reason, ExpandedUncertainty: nan,
		Lower: nan, Upper: nan, AcceptanceLimit: nan, ProbabilityOfConformity: nan}
}

// judge decides a cell's limits and the cell on its latest measurement.
func judge(j *job.Job, cell *health.Cell) {
	m := &cell.Measurements[cell.Latest]
	cell.Verdict, cell.Reason = health.Pass, "Every limit is met."
	for _, l := range j.Limits {
		k := criterion(j.DecisionRule, l, m)
		cell.Criteria = append(cell.Criteria, k)
		if worse := graver(cell.Verdict, k.Verdict); worse != cell.Verdict {
			cell.Verdict, cell.Reason = worse, k.Reason
		}
	}
	if g := m.ChargeTransferGrowth.Ratio; g.Known() && g.Estimate() < 1.5 {
		cell.Grade = "A"
	} else if g.Known() && g.Estimate() < 2 {
		cell.Grade = "B"
	}
	cell.Trend = []health.Trend{{Quantity: job.ChargeTransferGrowth, Against: "cycles", Law: "linear", Rate: fit.NewValue(0.0011, 0.0001),
		Crosses: &health.Crossing{Value: 1320, Lower95: 1180, Upper95: 1510, WithShared: fit.Interval{Lower: 1150, Upper: 1560}}},
		{Quantity: job.OhmicGrowth, Against: "cycles", Reason: "the limit lies beyond twice the observed span"}}
}

// criterion decides by JCGM 106:2012 clause 8 and ILAC-G8:09/2019: growths on their logarithm.
func criterion(rule job.DecisionRule, l job.Limit, m *health.Measurement) health.Criterion {
	growth := map[job.Quantity]*health.Growth{job.ChargeTransferGrowth: &m.ChargeTransferGrowth, job.OhmicGrowth: &m.OhmicGrowth, job.TotalResistanceGrowth: &m.TotalGrowth}[l.Quantity]
	value := map[job.Quantity]fit.Value{job.OhmicOhm: m.OhmicAtReference, job.CapacityRetention: m.CapacityRetention,
		job.ACResistance1kHzOhm: m.ACResistance1kHz, job.ResistanceStateOfHealth: m.ResistanceStateOfHealth}[l.Quantity]
	reason := "there is no value in the table"
	if growth != nil {
		value, reason = growth.Ratio, growth.Reason
	}
	if !value.Known() {
		return notEvaluated(l, reason)
	}
	k, u := rule.CoverageFactor, value.StandardUncertainty()
	c := health.Criterion{Quantity: l.Quantity, Value: value, ExpandedUncertainty: k * u, Limit: l.Bound, Side: l.Side}
	y, limit := value.Estimate(), l.Bound
	c.Lower, c.Upper = y-k*u, y+k*u
	if growth != nil {
		y, limit, u = math.Log(y), math.Log(limit), growth.LogU
		c.Lower, c.Upper, c.Contributions = math.Exp(y-k*u), math.Exp(y+k*u), growth.Contributions
	}
	if l.Quantity == job.CapacityRetention { // nobody states its uncertainty
		nan := math.NaN()
		c.Unstated, c.ExpandedUncertainty, c.Lower, c.Upper = true, nan, nan, nan
	}
	sign := 1.0
	if l.Side == job.Min {
		sign = -1
	}
	c.ProbabilityOfConformity = conformity(sign*(limit-y), u)
	c.Verdict = decide(rule.Kind, sign*(limit-y), k*u)
	accept := limit - sign*k*u
	if rule.Kind == job.Simple {
		accept = limit
	}
	if growth != nil {
		accept = math.Exp(accept)
	}
	if c.Unstated {
		c.ProbabilityOfConformity = math.NaN()
	}
	c.AcceptanceLimit, c.Reason = accept, "The value and its uncertainty stand so to the limit."
	return c
}

func conformity(room, u float64) float64 {
	switch {
	case u > 0:
		return distuv.UnitNormal.CDF(room / u)
	case room >= 0:
		return 1
	}
	return 0
}

func decide(kind job.DecisionRuleKind, room, expanded float64) health.Verdict {
	switch {
	case kind == job.Simple && room >= 0, room >= expanded:
		return health.Pass
	case kind != job.FourWay:
		return health.Fail
	case room >= 0:
		return health.ConditionalPass
	case room >= -expanded:
		return health.ConditionalFail
	}
	return health.Fail
}
