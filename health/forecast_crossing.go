package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
)

// meet says when the course meets its limit, or why that is not said.
func (t *Trend) meet(s *series, m mixture, rate statistics.StudentMixture) {
	limit := t.Course.Limit
	now := m.at(s.x[len(s.x)-1], s.span(), 0)
	towards := 1 - rate.Below(0) // probability that the quantity goes towards its limit
	if limit.Side == job.Min {
		towards = 1 - towards
	}
	crossed := 1 - now.Below(limit.Bound)
	if limit.Side == job.Min {
		crossed = 1 - crossed
	}
	switch {
	case beyondLimit(s.y[len(s.y)-1], limit) || crossed >= 0.975:
		t.Because = because("limit-crossed-already", bound(limit))
	case towards <= 0.025:
		t.Because = because("trend-away-from-limit", bound(limit))
	case towards < 0.975:
		t.Because = because("trend-not-significant", number("probability", towards, Fraction))
	default:
		t.cross(s, m, limit)
	}
}

// cross seeks where the limit enters, halves and leaves the band of the forecast.
func (t *Trend) cross(s *series, m mixture, limit job.Limit) {
	beyond := func(x float64) float64 {
		p := m.at(x, s.span(), 0).Below(limit.Bound)
		if limit.Side == job.Max {
			p = 1 - p
		}
		return p
	}
	from, to := s.x[len(s.x)-1], s.until()
	c := crossing(beyond, from, to)
	if math.IsInf(c.Value, 1) {
		if math.IsInf(c.Lower95, 1) {
			t.Because = because("limit-beyond-horizon", t.place("until", to), word("against", t.Against))
			return
		}
		t.Because = because("limit-maybe-beyond-horizon", t.place("until", to), t.place("earliest", c.Lower95), word("against", t.Against))
		return
	}
	c.WithShared = t.widened(c, limit)
	t.Crosses = &c
}

// crossing is where a probability of being beyond the limit first reaches 2.5, 50 and 97.5 %; infinite where it does not
// before the end.
func crossing(beyond func(x float64) float64, from, to float64) Crossing {
	const steps = 64
	found := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	levels := [3]float64{0.025, 0.5, 0.975}
	before, at := beyond(from), from
	for k := range levels {
		if before >= levels[k] {
			found[k] = from
		}
	}
	for i := 1; i <= steps && math.IsInf(found[2], 1); i++ {
		x := from + (to-from)*float64(i)/steps
		p := beyond(x)
		for k, level := range levels {
			if math.IsInf(found[k], 1) && p >= level {
				found[k] = statistics.ZeroWithin(func(x float64) float64 { return beyond(x) - level }, at, x, before-level, p-level)
			}
		}
		before, at = p, x
	}
	return Crossing{Value: found[1], Lower95: found[0], Upper95: found[2]}
}

// widened is the interval with what all points share: the course may be off by so much at the limit, which moves the
// crossing by that over the rate.
func (t *Trend) widened(c Crossing, limit job.Limit) fit.Interval {
	shift := distuv.UnitNormal.Quantile(0.975) * t.Course.Shared * math.Abs(limit.Bound/t.Rate.Estimate())
	return fit.Interval{Lower: c.Value - math.Hypot(c.Value-c.Lower95, shift), Upper: c.Value + math.Hypot(c.Upper95-c.Value, shift)}
}

// place is a place on the axis: a number of cycles or of days, or a charge.
func (t *Trend) place(name string, x float64) Fact {
	if t.Against == "throughput_ah" {
		return number(name, x, AmpereHour)
	}
	return number(name, x, Count)
}

// bound is a limit, in the unit of its quantity.
func bound(l job.Limit) Fact { return number("limit", l.Bound, quantityUnits[l.Quantity]) }

// quantityUnits are those of quantities that are no ratio.
var quantityUnits = map[job.Quantity]Unit{job.OhmicOhm: Ohm, job.ChargeTransferOhm: Ohm, job.ACResistance1kHzOhm: Ohm, job.CapacityAh: AmpereHour}
