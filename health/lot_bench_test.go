package health

import (
	"math/rand/v2"
	"testing"

	"ohmledger/health/job"
)

func BenchmarkLotOf100000(b *testing.B) {
	cells, _ := newCells(100_000)
	for b.Loop() {
		LotOf(deliveryJob(), cells, nil)
	}
}

func BenchmarkGrouping2000By3(b *testing.B) {
	cells := manyCells(2000, 1)
	j := groupingJob(14, "series", threeQuantities...)
	for b.Loop() {
		g := grouping(j, cells, nil)
		b.ReportMetric(g.WorstSpread/g.LeastSpread, "worst/least")
		b.ReportMetric(g.WorstSpread/g.SortedSpread, "worst/sorted")
	}
}

func BenchmarkForecast30Points(b *testing.B) {
	random := rand.New(rand.NewPCG(1, 1))
	seen, later := simulated(random, func(u float64) float64 { return 1 + 0.4*u }, 0.01)
	points := append(seen, later...)
	for b.Loop() {
		trend := Trend{Course: &Course{Limit: job.Limit{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 2.5}}}
		trend.fill(newSeries(points), true)
	}
}
