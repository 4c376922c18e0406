package health

import (
	"math"
	"math/rand/v2"
	"testing"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// simulation draws the errors of measurements of a cell that grew by 1.3 (ohmic) and 1.8 (charge transfer).
type simulation struct{ random *rand.Rand }

// normal is a deviate of a standard deviation.
func (s simulation) normal(sd float64) float64 { return sd * s.random.NormFloat64() }

// measured is what an instrument of that offset and that thermometer would report, with correlated fits.
func (s simulation) measured(j *job.Job, days int, celsius, ohmicOhm, ct, commonFit float64) given {
	truly := celsius + s.normal(0.3) // the thermometer says celsius
	x := 1/kelvin(truly) - 1/298.15
	o := ohmicOhm*math.Exp(12e3/molarGas*x) + s.normal(j.Instrument.AbsoluteUncertaintyOhm)
	o *= math.Exp(s.normal(0.003))
	c := ct * math.Exp(50e3/molarGas*x+commonFit+s.normal(0.01))
	return given{row("A", days, celsius), ohm(o, 0.003), ohm(c, math.Hypot(0.01, 0.02))}
}

// The stated interval G·exp(±2u) holds the true growth as often as a normal one does, 95.4 %, with all inputs in error at once.
func TestCoverageOfGrowthIntervals(t *testing.T) {
	if testing.Short() {
		t.Skip("numbers alone: nothing runs side by side that does not in other tests")
	}
	const trials = 4000
	s := simulation{rand.New(rand.NewPCG(11, 5))}
	held := map[job.Quantity]int{}
	for range trials {
		j := syntheticJob()
		j.TemperatureCorrection.Ohmic.Value += s.normal(j.TemperatureCorrection.Ohmic.StandardUncertainty)
		j.TemperatureCorrection.ChargeTransfer.Value += s.normal(j.TemperatureCorrection.ChargeTransfer.StandardUncertainty)
		scale := math.Exp(s.normal(0.05)) // far more than the instrument's: it must cancel
		common := s.normal(0.02)          // shared exponents move both fits alike
		correlation := 0.02 * 0.02 / (0.02*0.02 + 0.01*0.01)
		cell := fittedCell(correlation,
			s.measured(j, 0, 25, 0.020*scale, 0.015*scale, common),
			s.measured(j, 300, 18, 0.026*scale, 0.027*scale, common))
		cell.logs = func(a, b int, e fit.Element) float64 {
			if e == fit.Ohmic {
				return 0.003 * 0.003 * map[bool]float64{true: 1}[a == b]
			}
			return 0.02*0.02 + 0.01*0.01*map[bool]float64{true: 1}[a == b]
		}
		g := founded(j, cell)
		for q, want := range map[job.Quantity]float64{job.OhmicGrowth: 1.3, job.ChargeTransferGrowth: 1.8, job.TotalResistanceGrowth: 0.053 / 0.035} {
			o := measurands[q].had(g, cell, 1)
			if math.Abs(math.Log(want/o.value.Estimate())) <= 2*o.logU {
				held[q]++
			}
		}
	}
	for q, n := range held {
		if share := 100 * float64(n) / trials; share < 94 || share > 97 {
			t.Errorf("%s: held in %.1f %% of the trials", q, share)
		}
	}
	if len(held) != 3 {
		t.Errorf("held %v", held)
	}
}
