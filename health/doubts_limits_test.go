package health

import (
	"testing"

	"ohmledger/health/job"
)

// A limit that reads as if per cent, milliohms or the other side were meant is doubted in words; one that customers state is not.
func TestLimitsThatAreDoubted(t *testing.T) {
	limit := func(q job.Quantity, side job.Side, bound float64) job.Limit {
		return job.Limit{Quantity: q, Side: side, Bound: bound}
	}
	for _, c := range []struct {
		code   string
		limits []job.Limit
		ah     float64
	}{
		{"", []job.Limit{limit(job.ChargeTransferGrowth, job.Max, 2), limit(job.OhmicGrowth, job.Max, 1.3), limit(job.CapacityRetention, job.Min, 0.7)}, 2.6},
		{"", []job.Limit{limit(job.ChargeTransferGrowth, job.Max, 4), limit(job.ChargeTransferGrowth, job.Min, 0.9)}, 2.6},
		{"", []job.Limit{limit(job.OhmicOhm, job.Max, 0.03), limit(job.ACResistance1kHzOhm, job.Max, 0.04)}, 2.6},
		{"", []job.Limit{limit(job.OhmicOhm, job.Max, 2)}, 0.045},
		{"", []job.Limit{limit(job.ResistanceStateOfHealth, job.Min, 0.1), limit(job.CapacityAh, job.Min, 2)}, 2.6},
		{"limit-very-wide", []job.Limit{limit(job.ChargeTransferGrowth, job.Max, 20)}, 2.6},
		{"limit-below-baseline", []job.Limit{limit(job.OhmicGrowth, job.Max, 0.5)}, 2.6},
		{"limit-on-other-side", []job.Limit{limit(job.ChargeTransferGrowth, job.Min, 2)}, 2.6},
		{"limit-on-other-side", []job.Limit{limit(job.OhmicOhm, job.Min, 0.02)}, 2.6},
		{"limit-on-other-side", []job.Limit{limit(job.CapacityRetention, job.Max, 0.8)}, 2.6},
		{"limit-on-other-side", []job.Limit{limit(job.ResistanceStateOfHealth, job.Max, 0.8)}, 2.6},
		{"limit-of-many-ohms", []job.Limit{limit(job.OhmicOhm, job.Max, 30)}, 2.6},
		{"limit-of-many-ohms", []job.Limit{limit(job.ChargeTransferOhm, job.Max, 30)}, 0},
		{"limit-of-little-capacity", []job.Limit{limit(job.CapacityRetention, job.Min, 0.008)}, 2.6},
	} {
		b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1.1, 1.3), row("A", 90, 25))
		b.job.Limits, b.job.Cell.NominalCapacityAh = c.limits, c.ah
		got := ""
		for _, d := range b.assess(t).Doubts {
			if len(d.Code) > 6 && d.Code[:6] == "limit-" {
				got += d.Code
			}
		}
		if got != c.code {
			t.Errorf("%v: %q, want %q", c.limits, got, c.code)
		}
	}
}
