package figure

import (
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
)

// guardBand is the area in which a value meets the limit but not by enough, and under the four-way rule
// the equal one beyond the limit (ILAC-G8:09/2019, 4.2.3). The growths' bands are even on a logarithm.
func guardBand(c health.Criterion, rule job.DecisionRuleKind) (low, high float64) {
	other := c.Limit
	if rule == job.FourWay {
		other = mirrored(c)
	}
	return min(c.AcceptanceLimit, other), max(c.AcceptanceLimit, other)
}

// mirrored is the acceptance limit mirrored at the limit.
func mirrored(c health.Criterion) float64 {
	if report.IsGrowth(c.Quantity) && c.AcceptanceLimit > 0 {
		return c.Limit / c.AcceptanceLimit * c.Limit
	}
	return 2*c.Limit - c.AcceptanceLimit
}

// guarded reports whether a criterion has a guard band.
func guarded(c health.Criterion) bool {
	return drawable(c.AcceptanceLimit) && c.AcceptanceLimit != c.Limit
}
