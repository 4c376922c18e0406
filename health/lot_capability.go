package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
)

// Capability compares a lot's spread with its limits (NIST/SEMATECH e-Handbook 6.1.6), as if the lot were one stable
// process of the fitted distribution. An index that its limits do not allow is the zero Value of CapabilityIndex.
type Capability struct {
	Cp, CpkLower, CpkUpper, Cpk CapabilityIndex
	// PercentBelow and PercentAbove are the percentages beyond the limits that the fitted distribution estimates.
	PercentBelow, PercentAbove float64
}

// CapabilityIndex is one index with its 95 % confidence interval.
type CapabilityIndex struct {
	Known    bool
	Value    float64
	Interval fit.Interval
	Exact    bool // the interval; otherwise it is Bissell's approximation (Appl. Stat. 39 (1990) 331)
}

// capability of values on a scale against the strictest limits of the quantity; nil where there are none that the scale has.
func capability(values []float64, mean, sd float64, on scale, limits []job.Limit) *Capability {
	lower, upper := math.NaN(), math.NaN()
	for _, l := range limits {
		bound := on.onto(l.Bound)
		switch {
		case math.IsNaN(bound) || math.IsInf(bound, 0):
		case l.Side == job.Max && !(upper <= bound):
			upper = bound
		case l.Side == job.Min && !(lower >= bound):
			lower = bound
		}
	}
	if math.IsNaN(lower) && math.IsNaN(upper) {
		return nil
	}
	return indices(len(values), mean, sd, lower, upper)
}

// indices of a normal population; a limit that is NaN is none.
func indices(n int, mean, sd, lower, upper float64) *Capability {
	c := &Capability{}
	side := func(distance float64) CapabilityIndex {
		if math.IsNaN(distance) {
			return CapabilityIndex{}
		}
		return oneSidedCapability(n, distance/sd)
	}
	c.CpkLower, c.CpkUpper = side(mean-lower), side(upper-mean)
	if c.CpkLower.Known {
		c.PercentBelow = 100 * distuv.UnitNormal.CDF(-3*c.CpkLower.Value)
	}
	if c.CpkUpper.Known {
		c.PercentAbove = 100 * distuv.UnitNormal.CDF(-3*c.CpkUpper.Value)
	}
	switch {
	case !c.CpkUpper.Known:
		c.Cpk = c.CpkLower
	case !c.CpkLower.Known:
		c.Cpk = c.CpkUpper
	default:
		c.Cp = spreadCapability(n, (upper-lower)/(6*sd))
		c.Cpk = bissell(n, min(c.CpkLower.Value, c.CpkUpper.Value))
	}
	return c
}

// oneSidedCapability of a limit that is q standard deviations away: √n·q has the noncentral t distribution with
// δ = 3·√n·C, which is solved for C.
func oneSidedCapability(n int, q float64) CapabilityIndex {
	root := math.Sqrt(float64(n))
	at := func(p float64) float64 {
		d := statistics.NewNoncentralT(float64(n-1), 0)
		return statistics.Zero(func(delta float64) float64 {
			d.Delta = delta
			return p - d.CDF(q*root)
		}, q*root-1, q*root+1) / (3 * root)
	}
	return CapabilityIndex{true, q / 3, fit.Interval{Lower: at(0.975), Upper: at(0.025)}, true}
}

// spreadCapability has the interval of a standard deviation.
func spreadCapability(n int, cp float64) CapabilityIndex {
	sd := statistics.DeviationInterval(1, n)
	return CapabilityIndex{true, cp, fit.Interval{Lower: cp / sd.Upper, Upper: cp / sd.Lower}, true}
}

// bissell is Cpk of two limits: Cpk ± z·sqrt(1/(9n) + Cpk²/(2(n−1))).
func bissell(n int, cpk float64) CapabilityIndex {
	half := distuv.UnitNormal.Quantile(0.975) * math.Sqrt(1/(9*float64(n))+cpk*cpk/(2*float64(n-1)))
	return CapabilityIndex{true, cpk, fit.Interval{Lower: cpk - half, Upper: cpk + half}, false}
}

func normalQuantile(p float64) float64 { return distuv.UnitNormal.Quantile(p) }
