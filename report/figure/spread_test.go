package figure

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// sketchLot is a lot of so many cells whose charge-transfer resistances are the quantiles of a normal distribution of
// 15 mΩ and 0.3 mΩ.
func sketchLot(cells int, sampling *job.Sampling) *health.Lot {
	j := &job.Job{Limits: []job.Limit{
		{Quantity: job.ChargeTransferOhm, Side: job.Max, Bound: 0.0165},
		{Quantity: job.ChargeTransferOhm, Side: job.Min, Bound: 0.001},
	}, Sampling: sampling}
	var list []health.LotCell
	for i := range cells {
		v := distuv.Normal{Mu: 0.015, Sigma: 0.0003}.Quantile((float64(i) + 0.5) / float64(cells))
		list = append(list, health.LotCell{Name: fmt.Sprintf("S-%04d", i), Verdict: health.Pass,
			Values: []health.QuantityValue{{Quantity: job.ChargeTransferOhm, Value: fit.NewValue(v, 0.0001), Own: 0.00005}}})
	}
	return health.LotOf(j, list, nil)
}

func TestSpreadsAreTidy(t *testing.T) {
	d := sketchDocument(t, "en")
	for _, cells := range []int{1, 2, 3, 9, 80, 2000} {
		q := &sketchLot(cells, nil).Quantities[0]
		for _, f := range []Figure{Histogram(d, q), ProbabilityPlot(d, q)} {
			for _, width := range []float64{55, 85, figureWidth} {
				f.Width = width
				checkTidy(t, fmt.Sprintf("%s of %d cells, %v mm wide", f.Name, cells, width), drawn(f))
			}
		}
	}
}

// The columns hold every cell, and the curve of the density encloses the same area.
func TestHistogramHoldsAllCells(t *testing.T) {
	d := sketchDocument(t, "en")
	q := &sketchLot(500, nil).Quantities[0]
	s := newSpread(d, q)
	sum := 0
	for _, n := range q.Histogram.Counts {
		sum += n
	}
	width := s.edges()[1] - s.edges()[0]
	along := s.along()
	line := s.density(&q.Fits[0], along)
	area := 0.
	for i := range len(line) - 1 {
		area += (line[i+1].X - line[i].X) * (line[i].Y + line[i+1].Y) / 2
	}
	if sum != 500 || math.Abs(area/(500*width)-1) > 0.01 {
		t.Errorf("%d cells in the columns, %v under the curve", sum, area/width)
	}
	if along.low < 12 || along.high < 16.5 {
		t.Errorf("the axis goes from %v to %v mΩ: the far limit of 1 mΩ is to be pointed to, the near one to be shown", along.low, along.high)
	}
	c := drawn(Histogram(d, q))
	for _, want := range []string{"limit 16.5 mΩ", "← limit 1 mΩ", "cells", "normal distribution"} {
		if len(c.find(func(k inkText) bool { return strings.ReplaceAll(k.text, notation.NoBreak, " ") == want })) != 1 {
			t.Errorf("%q does not stand once", want)
		}
	}
}

// A normal lot lies on its line: its quantiles are those of the standard normal distribution (NIST/SEMATECH e-Handbook 1.3.3.21).
func TestProbabilityPlotOfANormalLotIsALine(t *testing.T) {
	s := newSpread(sketchDocument(t, "en"), &sketchLot(200, nil).Quantities[0])
	line := s.quantiles(&s.of.Fits[0], s.along())
	slope := (line[len(line)-1].Y - line[0].Y) / (line[len(line)-1].X - line[0].X)
	if math.Abs(slope*0.3-1) > 0.03 {
		t.Errorf("the slope is %v a milliohm, want 1/0.3", slope)
	}
	for _, v := range s.of.Fits[0].Plot {
		if want := (s.scale.In(v.Value) - 15) / 0.3; math.Abs(v.Normal) < 2 && math.Abs(v.Normal-want) > 0.05 {
			t.Errorf("%v lies at %v, want %v", v.Value, v.Normal, want)
		}
	}
}

// MIL-STD-105E, Table X-J-1: of n = 80, Ac = 2 a lot of 1 % is accepted with 95 %, one of 6.52 % with 10 %.
func TestOperatingCharacteristic(t *testing.T) {
	d := sketchDocument(t, "en")
	lot := sketchLot(80, &job.Sampling{Standard: "attributes", LotSize: 1000, AQL: 1, Level: "II", Severity: "normal"})
	o := &characteristic{d.Words, lot.Sampling}
	risks := o.risks()
	if len(risks) != 2 || math.Abs(risks[0].at.Y-95.3) > 0.5 || math.Abs(risks[1].at.X-6.5) > 0.15 {
		t.Errorf("risks %+v", risks)
	}
	for _, width := range []float64{85, figureWidth} {
		f := OperatingCharacteristic(d, lot.Sampling)
		f.Width = width
		checkTidy(t, f.Name, drawn(f))
	}
	checkTidy(t, "no plan", drawn(OperatingCharacteristic(d, &health.Inspection{})))
}
