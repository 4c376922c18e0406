package health

import (
	"slices"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// What limits are not without a slip (common practice): a cell is at its end at 1.3 to 3 times its first resistance and at 0.7 to 0.8 of its
// first capacity, and resistance times capacity is 0.02 to 0.5 Ω·Ah, whatever the cell's size.
const (
	wideGrowth     = 5.0 // a larger growth: per cent are meant
	leastRetention = 0.3
	wideOhmAh      = 5.0
	wideOhm        = 5.0 // where no capacity is stated
)

// limitDoubts are about the job's limits that are most likely written otherwise than meant: the first of each kind.
func limitDoubts(j *job.Job) (list []fit.Doubt) {
	for _, l := range j.Limits {
		doubt := limitDoubt(l, j.Limits, j.Cell.NominalCapacityAh)
		said := slices.ContainsFunc(list, func(d fit.Doubt) bool { return d.Code == doubt.Code })
		if doubt.Code != "" && !said {
			list = append(list, doubt)
		}
	}
	return list
}

// limitDoubt is what is doubtful about one limit among others.
func limitDoubt(l job.Limit, among []job.Limit, nominalAh float64) fit.Doubt {
	facts := []fit.Fact{{Name: "quantity", Text: string(l.Quantity)}, {Name: "limit", Value: l.Bound}}
	doubt := func(code string, more ...fit.Fact) fit.Doubt {
		return fit.Doubt{Code: code, Facts: append(facts, more...)}
	}
	meant := func(value float64) fit.Fact { return fit.Fact{Name: "meant", Value: value} }
	growth := slices.Contains(growths, l.Quantity) && l.Quantity != job.ResistanceStateOfHealth
	ohms := l.Quantity == job.OhmicOhm || l.Quantity == job.ChargeTransferOhm || l.Quantity == job.ACResistance1kHzOhm
	switch {
	case wrongSide(l, growth || ohms) && !slices.ContainsFunc(among, func(o job.Limit) bool { return o.Quantity == l.Quantity && o.Side != l.Side }):
		return doubt("limit-on-other-side", fit.Fact{Name: "side", Text: string(l.Side)})
	case growth && l.Side == job.Max && l.Bound > wideGrowth:
		return doubt("limit-very-wide", meant(1+l.Bound/100))
	case growth && l.Side == job.Max && l.Bound < 1:
		return doubt("limit-below-baseline", meant(1+l.Bound))
	case ohms && l.Side == job.Max && tooManyOhms(l.Bound, nominalAh):
		return doubt("limit-of-many-ohms", meant(l.Bound/1000))
	case l.Quantity == job.CapacityRetention && l.Side == job.Min && l.Bound < leastRetention:
		return doubt("limit-of-little-capacity")
	}
	return fit.Doubt{}
}

// wrongSide reports whether ageing leads away from a limit.
func wrongSide(l job.Limit, risesWithAge bool) bool {
	return risesWithAge == (l.Side == job.Min)
}

func tooManyOhms(ohm, nominalAh float64) bool {
	if nominalAh > 0 {
		return ohm*nominalAh > wideOhmAh
	}
	return ohm > wideOhm
}
