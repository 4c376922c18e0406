package report

import (
	"math"
	"testing"

	"ohmledger/health"
)

// A rate is stated for a step no longer than what was observed, and not for so short a one that its digits would be noughts.
func TestRatesAreStatedForNoMoreThanWasObserved(t *testing.T) {
	trend := func(against string, span float64) *health.Trend {
		return &health.Trend{Against: against, Course: &health.Course{Points: []health.CoursePoint{{Place: 7}, {Place: 7 + span/3}, {Place: 7 + span}}}}
	}
	for _, k := range []struct {
		against    string
		span, want float64
	}{{"days", 11, 10}, {"days", 364, 100}, {"days", 365, 365}, {"days", 3000, 365}, {"days", 9, 1},
		{"cycles", 1008, 1000}, {"cycles", 1000, 1000}, {"cycles", 999, 100}, {"throughput_ah", 0.3, 0.1}} {
		if got := RateStep(trend(k.against, k.span)); math.Abs(got/k.want-1) > 1e-9 {
			t.Errorf("%v %s: a step of %v, want %v", k.span, k.against, got, k.want)
		}
	}
	for _, against := range []string{"days", "cycles", "throughput_ah"} {
		for span := 0.04; span < 1e6; span *= 1.7 {
			if step := RateStep(trend(against, span)); step > span*(1+2*rounding) || step < span/10.1 && step != year {
				t.Errorf("%v %s: a step of %v", span, against, step)
			}
		}
	}
	if got := RateStep(&health.Trend{Against: "days"}); got != 1 {
		t.Errorf("without a course: %v", got)
	}
}
