package health

import (
	"math"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// Decomposition of hydrogen iodide, OpenStax Chemistry, chapter 12: rate constants give 185 kJ/mol. A rate is the inverse of a
// resistance; the last figures are computed.
func TestActivationEnergyOfHydrogenIodide(t *testing.T) {
	kelvins := []float64{555, 575, 645, 700, 781}
	rates := []float64{3.52e-7, 1.22e-6, 8.59e-5, 1.16e-3, 3.95e-2}
	var a ArrheniusSeries
	for i := range kelvins {
		a.Points = append(a.Points, ArrheniusPoint{TemperatureC: kelvins[i] - 273.15, ResistanceOhm: 1 / rates[i]})
	}
	energy, u := a.regress(make([]float64, 5))
	near(t, "activation energy", energy/1e3, 185, 0.5)
	near(t, "activation energy", energy/1e3, 185.308, 0.0005)
	near(t, "its uncertainty", u/1e3/widening(3), 2.177, 0.0005)
}

// Two rate constants (published lecture): 1.76e5 J/mol.
func TestActivationEnergyOfTwoPoints(t *testing.T) {
	l := throughPoints([]float64{1. / 500, 1. / 600}, []float64{-math.Log(9.51e-9), -math.Log(1.10e-5)}, []float64{0, 0})
	near(t, "activation energy", l.slope*molarGas, 1.76e5, 500)
	near(t, "activation energy", l.slope*molarGas/1e3, 175.933, 0.0005)
}

// Weighted line against its normal equations in closed form, x 0, 1, 3, y 1, 2, 7, u 0.1, 0.1, 0.2.
func TestWeightedLine(t *testing.T) {
	l := throughPoints([]float64{0, 1, 3}, []float64{1, 2, 7}, []float64{0.1, 0.1, 0.2})
	s, sx, sxx, sy, sxy := 225.0, 175.0, 325.0, 475.0, 725.0
	d := s*sxx - sx*sx
	near(t, "slope", l.slope, (s*sxy-sx*sy)/d, 1e-12)
	chi := 0.0
	for _, p := range [][3]float64{{0, 1, 100}, {1, 2, 100}, {3, 7, 25}} {
		r := p[1] - l.intercept - l.slope*p[0]
		chi += p[2] * r * r
	}
	want := s / d * (1 + square(widening(1))*(chi-1))
	near(t, "uncertainty", l.uncertainty, math.Sqrt(want), 1e-12) // one degree of freedom, and chi² exceeds it
	if chi <= 1 {
		t.Fatal("the scatter should exceed the weights here")
	}
}

// Random effects: DerSimonian and Laird for values 1, 2, 4 of unit uncertainty, by hand: Q = 14/3, τ² = (14/3 − 2)/2 = 4/3.
func TestPooledMean(t *testing.T) {
	v := pooled([]fit.Value{fit.NewValue(1, 1), fit.NewValue(2, 1), fit.NewValue(4, 1)})
	near(t, "mean", v.Estimate(), 7./3, 1e-12)
	between := 4. / 3 * square(widening(2))
	near(t, "uncertainty", v.StandardUncertainty(), math.Sqrt((1+between)/3+between), 1e-12)
	v = pooled([]fit.Value{fit.NewValue(50, 2), fit.NewValue(50.1, 1)}) // they agree: weighted mean
	near(t, "mean", v.Estimate(), (50./4+50.1)/(1./4+1), 1e-12)
	near(t, "uncertainty", v.StandardUncertainty(), math.Sqrt(1/1.25), 1e-12)
	near(t, "exact values", pooled([]fit.Value{fit.NewValue(50, 0), fit.NewValue(50, 0)}).Estimate(), 50, 1e-9)
}

// seriesCell is a cell at several temperatures with ohmic 12 and charge transfer 50 kJ/mol.
func seriesCell(name string, celsius ...float64) *specimen {
	var list []given
	for k, c := range celsius {
		x := 1/kelvin(c) - 1/298.15
		list = append(list, given{row(name, k, c), ohm(0.020*math.Exp(12e3/molarGas*x), 0.002), ohm(0.015*math.Exp(50e3/molarGas*x), 0.01)})
	}
	return fittedCell(0, list...)
}

func TestMeasuredCorrection(t *testing.T) {
	j := syntheticJob()
	j.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionMeasured}
	cells := []*specimen{seriesCell("A", 35, 25, 15, 5), seriesCell("B", 25, 25.5, 26), seriesCell("C", 20, 22, 24), seriesCell("D", 25)}
	g, temperature := grounds{job: j}.correct(cells)
	near(t, "charge transfer", temperature.ChargeTransfer.Estimate(), 50, 1e-9)
	near(t, "ohmic", temperature.Ohmic.Estimate(), 12, 1e-9)
	near(t, "in force", g.energies[polarisation].energy, 50e3, 1e-6)
	near(t, "in force for 1 kHz", g.energies[alternating].energy, 12e3, 1e-6)
	// No scatter: the uncertainty is that of the weights, 1 % of R and 0.3 °C each.
	var x, u []float64
	for _, c := range []float64{35, 25, 15, 5} {
		x = append(x, 1/kelvin(c))
		u = append(u, math.Hypot(0.01, 50e3/molarGas/kelvin(c)/kelvin(c)*0.3))
	}
	want := throughPoints(x, []float64{0, 0, 0, 0}, u).uncertainty * molarGas / 1e3
	near(t, "its uncertainty", temperature.ChargeTransfer.StandardUncertainty(), want, 1e-6)

	reasons := map[string]string{}
	for _, s := range temperature.Series {
		reasons[s.Cell] = s.Reason
	}
	if reasons["A"] != "" || !strings.Contains(reasons["B"], "series-few-temperatures") || !strings.Contains(reasons["C"], "series-narrow span_c 4,") {
		t.Errorf("reasons %q", reasons)
	}
	if _, listed := reasons["D"]; listed {
		t.Error("a single spectrum is no series")
	}
}

// A series takes the state of charge that most of its spectra share, and no resistance that a finding touches.
func TestSeriesIsOfOneStateOfCharge(t *testing.T) {
	s := seriesCell("A", 35, 25, 15, 5)
	s.Measurements[1].Row.SOCPercent = pointer(90)
	s.Measurements[2].Quality.Findings = []Finding{{Code: "two-wire-sensing", Touches: withLeads, Message: "Two wires."}}
	s.Measurements[3].Quality.Findings = []Finding{{Code: codeTemperature, Touches: fromZ, Message: "Cold."}}
	g := grounds{job: syntheticJob()}
	if n := len(g.points(s, chargeTransfer)); n != 3 {
		t.Errorf("%d points of the arc", n)
	}
	if n := len(g.points(s, ohmic)); n != 2 {
		t.Errorf("%d points of the ohmic resistance", n)
	}
	s = seriesCell("B", 35, 25, 15, 5)
	s.Measurements[3].Row.SOCPercent = pointer(90)
	if n := len(g.points(s, ohmic)); n != 3 {
		t.Errorf("%d points", n)
	}
}

func TestMeasuredCorrectionWithoutSeries(t *testing.T) {
	j := syntheticJob()
	j.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionMeasured}
	s := seriesCell("A", 25, 21)
	g := founded(j, s)
	if o := g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer); o.reason.Code != "temperatures-differ" {
		t.Errorf("%+v", o)
	}
}
