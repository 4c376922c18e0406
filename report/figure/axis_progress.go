package figure

import (
	"gonum.org/v1/plot"

	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// progress is what a cell's history is drawn against.
type progress struct {
	name   string // as health.Trend.Against has it
	of     func(m *job.Measurement) (place float64, known bool)
	least  float64 // span of the axis at least
	ticker func(e extent, most int, n notation.Notation) plot.Ticker
}

// progresses are the axes of a history. The first is that of a history for which none is named.
var progresses = []progress{
	{
		name:  "days",
		of:    func(m *job.Measurement) (float64, bool) { return onAxis(m.MeasuredAt), !m.MeasuredAt.IsZero() },
		least: 2,
		ticker: func(_ extent, most int, n notation.Notation) plot.Ticker {
			return dates{most, n}
		},
	},
	{name: "cycles", of: func(m *job.Measurement) (float64, bool) { return stated(m.Cycles) }, least: 2, ticker: oneTwoFive},
	{name: "throughput_ah", of: func(m *job.Measurement) (float64, bool) { return stated(m.ThroughputAh) }, least: 1e-6, ticker: oneTwoFive},
}

func progressOf(name string) progress {
	for _, p := range progresses {
		if p.name == name {
			return p
		}
	}
	return progresses[0]
}

func stated(v *float64) (place float64, known bool) {
	if v == nil || !drawable(*v) {
		return 0, false
	}
	return *v, true
}

// oneTwoFive ticks an extent in steps of 1, 2 or 5, with at most so many labels.
func oneTwoFive(e extent, most int, n notation.Notation) plot.Ticker {
	return steps{niceStep(e.span(), most), n}
}
