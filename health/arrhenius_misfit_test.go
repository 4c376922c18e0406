package health

import (
	"fmt"
	"math"
	"testing"

	"ohmledger/health/job"
)

// bentCell is an unaged cell at several temperatures, whose ln R bends away from a straight line over 1/T as cells do that
// freeze: by bend at the ends of 10 to 40 °C against the middle.
func bentCell(name string, bend float64, celsius ...float64) *specimen {
	var list []given
	for k, c := range celsius {
		x := 1/kelvin(c) - 1/298.15
		off := math.Exp(bend * square((c-25)/15))
		list = append(list, given{row(name, k, c), ohm(0.020*math.Exp(12e3/molarGas*x), 0.002), ohm(0.015*math.Exp(50e3/molarGas*x)*off, 0.003)})
	}
	return fittedCell(0, list...)
}

func measuredSeries(bend float64, cells int, celsius ...float64) (grounds, Temperature, []*specimen) {
	j := syntheticJob()
	j.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionMeasured}
	var list []*specimen
	for k := range cells {
		list = append(list, bentCell(fmt.Sprintf("C%d", k), bend, celsius...))
	}
	g, temperature := grounds{job: j}.correct(list)
	g.found(list, list)
	return g, temperature, list
}

// A bend that all cells share is no chance of one of them: however many they are, an unaged cell has the growth 1 within its
// interval at every temperature.
func TestBendOfTheSeriesCountsWhole(t *testing.T) {
	for _, bend := range []float64{0.03, 0.12, -0.12, 0.3} {
		for _, celsius := range [][]float64{{25, 10, 40}, {25, 10, 17, 33, 40}, {25, 10, 15, 20, 30, 35, 40}} {
			g, temperature, cells := measuredSeries(bend, 12, celsius...)
			for i, c := range celsius {
				o := g.growth(cells[3], i, job.ChargeTransferGrowth, chargeTransfer)
				if off := math.Abs(math.Log(o.value.Estimate())); off > 2*o.logU {
					t.Errorf("bend %v, %d temperatures, %v °C: growth %.3f, interval %.3f to %.3f", bend, len(celsius), c,
						o.value.Estimate(), o.value.Estimate()*math.Exp(-2*o.logU), o.value.Estimate()*math.Exp(2*o.logU))
				}
			}
			if !temperature.ChargeTransferMisfit.Significant && math.Abs(bend) > 0.1 || temperature.OhmicMisfit.LogRMS != 0 {
				t.Errorf("bend %v: %+v, ohmic %+v", bend, temperature.ChargeTransferMisfit, temperature.OhmicMisfit)
			}
		}
	}
}

// It vanishes between equal temperatures, grows with their difference, and is not there where the line fits.
func TestBendOfTheSeriesByTemperature(t *testing.T) {
	g, _, _ := measuredSeries(0.12, 4, 25, 10, 17, 33, 40)
	a, last := g.energies[chargeTransfer], 0.0
	near(t, "equal temperatures", a.curved(25, 25).size, 0, 0)
	for _, c := range []float64{27, 30, 35, 40, 60, 90} {
		if now := a.curved(25, c).size; now < last || now == 0 {
			t.Errorf("%v °C: %v after %v", c, now, last)
		} else {
			last = now
		}
	}
	_, bent, _ := measuredSeries(0.12, 4, 25, 10, 17, 33, 40)
	g.say = english(t)
	doubted := &Assessment{Job: g.job, Temperature: bent}
	if doubted.Doubts = g.doubts(doubted); !hasDoubt(doubted, "series-not-arrhenius") {
		t.Errorf("doubts %+v", doubted.Doubts)
	}
	g, temperature, _ := measuredSeries(0, 4, 25, 10, 17, 33, 40)
	near(t, "straight", g.energies[chargeTransfer].curved(10, 40).size, 0, 0)
	if temperature.ChargeTransferMisfit.Significant {
		t.Errorf("%+v", temperature.ChargeTransferMisfit)
	}
}
