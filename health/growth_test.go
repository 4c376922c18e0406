package health

import (
	"math"
	"slices"
	"testing"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// ohm is a resistance with a relative standard uncertainty.
func ohm(r, relative float64) fit.Value { return fit.NewValue(r, r*relative) }

func share(t *testing.T, budget []Contribution, source string) float64 {
	t.Helper()
	i := slices.IndexFunc(budget, func(c Contribution) bool { return c.Source == source })
	if i < 0 {
		return 0
	}
	return budget[i].U
}

// The factor R(T)/R(25 °C) of exp[(E_a/R_gas)(1/T − 1/298.15 K)], computed for 20, 50 and 60 kJ/mol.
func TestArrheniusFactor(t *testing.T) {
	for _, c := range []struct{ energy, celsius, factor float64 }{
		{15, 0, 1.7398699}, {20, 10, 1.5332676}, {30, 45, 0.46730896}, {50, 0, 6.3346495}, {50, 23, 1.1459262}, {60, 35, 0.45591323},
	} {
		a := declaredActivation(fit.NewValue(c.energy, 0), ohmic)
		near(t, "factor", math.Exp(a.exponent(c.celsius)-a.exponent(25)), c.factor, 5e-8*c.factor+5e-9)
		grown := fittedCell(0, given{row("A", 0, 25), ohm(0.02, 0), ohm(0.01, 0)}, given{row("A", 90, c.celsius), ohm(0.02, 0), ohm(0.01*c.factor, 0)})
		j := syntheticJob()
		j.TemperatureCorrection.ChargeTransfer = &job.Stated{Value: c.energy}
		g := founded(j, grown)
		near(t, "corrected growth", g.growth(grown, 1, job.ChargeTransferGrowth, chargeTransfer).value.Estimate(), 1, 1e-7)
	}
	// Sensitivity at 25 °C: 6.77 % and 2.03 % a kelvin (the former is 6.765, rounded).
	for _, c := range []struct{ energy, percent float64 }{{50, 6.77}, {15, 2.03}} {
		a := declaredActivation(fit.NewValue(c.energy, 0), ohmic)
		near(t, "sensitivity", 100*a.warmed(25, 1, "", "").size, c.percent, 0.0051)
	}
}

// Every line of the budget of one growth, reckoned by hand.
func TestGrowthBudgetByHand(t *testing.T) {
	j := syntheticJob()
	s := fittedCell(0.5, given{row("A", 0, 25), ohm(0.020, 0.004), ohm(0.015, 0.01)}, given{row("A", 90, 21), ohm(0.024, 0.003), ohm(0.030, 0.02)})
	g := founded(j, s)

	const gas = 8.31446261815324
	x := 1/294.15 - 1/298.15
	slope := func(kj, kelvin float64) float64 { return kj * 1e3 / gas / kelvin / kelvin * 0.3 }

	ct := g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer)
	near(t, "growth", ct.value.Estimate(), 2*math.Exp(-50e3/gas*x), 1e-12)
	near(t, "energy", share(t, ct.contributions, "activation energy"), 5e3/gas*x, 1e-9)
	near(t, "temperature", share(t, ct.contributions, asMeasured.temperature), slope(50, 294.15), 1e-12)
	near(t, "temperature of baseline", share(t, ct.contributions, asBaseline.temperature), slope(50, 298.15), 1e-12)
	near(t, "fit", share(t, ct.contributions, asMeasured.fit), 0.02, 1e-12)
	near(t, "fit of baseline", share(t, ct.contributions, asBaseline.fit), 0.01, 1e-12)
	near(t, "correlation", share(t, ct.contributions, correlated), math.Sqrt(2*0.5*0.02*0.01), 1e-12)
	near(t, "scale", share(t, ct.contributions, instrumentScale), 0, 0)
	near(t, "offset", share(t, ct.contributions, asMeasured.offset), 0, 0)
	want := 0.02*0.02 + 0.01*0.01 - 0.02*0.01 + math.Pow(slope(50, 294.15), 2) + math.Pow(slope(50, 298.15), 2) + math.Pow(5e3/gas*x, 2)
	near(t, "u of ln", ct.logU, math.Sqrt(want), 1e-12)
	near(t, "u", ct.value.StandardUncertainty(), ct.value.Estimate()*math.Sqrt(want), 1e-12)

	ohmicGrowth := g.growth(s, 1, job.OhmicGrowth, ohmic)
	near(t, "offset", share(t, ohmicGrowth.contributions, asMeasured.offset), 2e-5/0.024, 1e-12)
	near(t, "offset of baseline", share(t, ohmicGrowth.contributions, asBaseline.offset), 2e-5/0.020, 1e-12)

	total := g.growth(s, 1, job.TotalResistanceGrowth, ohmic, polarisation)
	o, p := 0.024*math.Exp(-12e3/gas*x), 0.030*math.Exp(-50e3/gas*x)
	near(t, "total growth", total.value.Estimate(), (o+p)/0.035, 1e-12)
	near(t, "fit of total", share(t, total.contributions, asMeasured.fit), math.Hypot(o*0.003, p*0.02)/(o+p), 1e-12)
	// The cell's temperature moves both parts together.
	near(t, "temperature of total", share(t, total.contributions, asMeasured.temperature), (o*slope(12, 294.15)+p*slope(50, 294.15))/(o+p), 1e-12)
}

func TestActivationEnergyVanishesAtEqualTemperatures(t *testing.T) {
	s := fittedCell(0, given{row("A", 0, 31), ohm(0.020, 0.004), ohm(0.015, 0.01)}, given{row("A", 90, 31), ohm(0.024, 0.003), ohm(0.030, 0.02)})
	g := founded(syntheticJob(), s)
	for _, c := range []outcome{g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer), g.growth(s, 1, job.TotalResistanceGrowth, ohmic, polarisation)} {
		near(t, "energy", share(t, c.contributions, "activation energy"), 0, 0)
		if !(c.logU > 0) {
			t.Error("no uncertainty left")
		}
	}
	// The absolute value still has it: 31 °C is not the reference temperature.
	if at := g.atReference(s, 1, job.ChargeTransferOhm, chargeTransfer); share(t, at.contributions, "activation energy") == 0 {
		t.Errorf("at reference: %+v", at.contributions)
	}
}

func TestBaselineGrowthOfItselfIsExactlyOne(t *testing.T) {
	s := fittedCell(0.3, given{row("A", 0, 23), ohm(0.020, 0.004), ohm(0.015, 0.01)}, given{row("A", 9, 23), ohm(0.020, 0.004), ohm(0.015, 0.01)})
	g := founded(syntheticJob(), s)
	o := g.growth(s, 0, job.ChargeTransferGrowth, chargeTransfer)
	near(t, "growth", o.value.Estimate(), 1, 1e-15)
	near(t, "u", o.logU, 0, 1e-12)
}

// A first day of several spectra at several temperatures: the mean of ln R and 1/T with the same weights, temperatures averaged.
func TestFirstDayOfSeveralSpectra(t *testing.T) {
	later := func(days int, celsius float64, line int) job.Measurement {
		r := row("A", days, celsius)
		r.Line = line
		return r
	}
	factor := func(celsius float64) float64 { return math.Exp(50e3 / molarGas * (1/kelvin(celsius) - 1/298.15)) }
	s := fittedCell(0,
		given{later(0, 24, 1), ohm(0.020, 0.01), ohm(0.015*factor(24), 0.01)},
		given{later(0, 26, 2), ohm(0.020, 0.01), ohm(0.015*factor(26), 0.01)},
		given{later(80, 25, 3), ohm(0.020, 0.01), ohm(0.030, 0.01)})
	g := founded(syntheticJob(), s)
	near(t, "baseline", s.footing.ChargeTransfer.Estimate(), 0.015, 1e-8)
	near(t, "baseline temperature", s.footing.TemperatureC, 25, 1e-12)
	near(t, "its uncertainty", s.footing.TemperatureUncertaintyC, 0.3/math.Sqrt2, 1e-12)
	if !slices.Equal(s.footing.Measurements, []int{0, 1}) {
		t.Errorf("members %v", s.footing.Measurements)
	}
	o := g.growth(s, 2, job.ChargeTransferGrowth, chargeTransfer)
	near(t, "growth", o.value.Estimate(), 2, 1e-5)
	near(t, "fit of the baseline", share(t, o.contributions, asBaseline.fit), 0.01/math.Sqrt2, 1e-5)
	near(t, "scatter", share(t, o.contributions, "scatter of the baseline spectra"), 0, 1e-9)

	// Where the spectra of that day scatter by more than they should, the mean is as uncertain as their scatter.
	s.Measurements[1].Fit.ChargeTransfer = ohm(0.017*factor(26), 0.01)
	g.found([]*specimen{s}, nil)
	o = g.growth(s, 2, job.ChargeTransferGrowth, chargeTransfer)
	half := math.Log(0.017/0.015) / 2 // of two values; the standard uncertainty of their mean is half their distance
	own := math.Hypot(0.01, g.energies[chargeTransfer].warmed(25, 0.3, "", "").size) / math.Sqrt2
	near(t, "scatter", share(t, o.contributions, "scatter of the baseline spectra"), math.Sqrt(half*half-own*own), 1e-4)
}

// A spectrum of twice the uncertainty weighs a quarter.
func TestFirstDayIsWeighted(t *testing.T) {
	j := syntheticJob()
	first, second := row("A", 0, 25), row("A", 0, 25)
	first.TemperatureUncertaintyC, second.TemperatureUncertaintyC = 0, 0
	s := fittedCell(0, given{first, ohm(0.02, 0.01), ohm(0.0150, 0.01)}, given{second, ohm(0.02, 0.01), ohm(0.0151, 0.02)})
	founded(j, s)
	want := math.Exp((4*math.Log(0.0150) + math.Log(0.0151)) / 5)
	near(t, "baseline", s.footing.ChargeTransfer.Estimate(), want, 1e-12)
	near(t, "its uncertainty", s.footing.ChargeTransfer.StandardUncertainty(), want*math.Hypot(0.002, math.Sqrt(1/(1/1e-4+1/4e-4))), 1e-9)
}

func TestInstrumentScaleCancelsOnlyWithItself(t *testing.T) {
	other := row("A", 90, 25)
	other.Instrument = "second bridge"
	s := fittedCell(0, given{row("A", 0, 25), ohm(0.02, 0), ohm(0.015, 0)}, given{row("A", 30, 25), ohm(0.02, 0), ohm(0.015, 0)}, given{other, ohm(0.02, 0), ohm(0.015, 0)})
	g := founded(syntheticJob(), s)
	near(t, "same", share(t, g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer).contributions, instrumentScale), 0, 0)
	near(t, "other", share(t, g.growth(s, 2, job.ChargeTransferGrowth, chargeTransfer).contributions, instrumentScale), 0.002*math.Sqrt2, 1e-12)

	j := syntheticJob()
	j.Baseline = job.Baseline{Source: job.Declared, Ohmic: &job.Stated{Value: 0.018, StandardUncertainty: 0.0009}, ChargeTransfer: &job.Stated{Value: 0.010, StandardUncertainty: 0.001}}
	g = founded(j, s)
	o := g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer)
	near(t, "growth", o.value.Estimate(), 1.5, 1e-12)
	near(t, "scale", share(t, o.contributions, instrumentScale), 0.002, 1e-12)
	near(t, "declared", share(t, o.contributions, "declared baseline"), 0.1, 1e-12)
	near(t, "total", g.growth(s, 1, job.TotalResistanceGrowth, ohmic, polarisation).value.Estimate(), 0.035/0.028, 1e-12)
}

func TestWithoutCorrection(t *testing.T) {
	j := syntheticJob()
	j.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionNone}
	s := fittedCell(0, given{row("A", 0, 25), ohm(0.02, 0.001), ohm(0.015, 0.001)},
		given{row("A", 30, 25.8), ohm(0.02, 0.001), ohm(0.015, 0.001)}, // 0.8 °C is within 2·√(0.3² + 0.3²)
		given{row("A", 60, 25.9), ohm(0.02, 0.001), ohm(0.015, 0.001)}) // 0.9 °C is not
	g := founded(j, s)
	o := g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer)
	near(t, "growth", o.value.Estimate(), 1, 1e-12)
	bound := 70e3 / molarGas
	want := math.Sqrt(math.Pow(bound*(1/298.15-1/298.95), 2) + math.Pow(bound/298.15/298.15*0.3, 2) + math.Pow(bound/298.95/298.95*0.3, 2))
	near(t, "bound", share(t, o.contributions, "temperature, not corrected (bound from 70 kJ/mol)"), want, 1e-9)
	near(t, "bound of the ohmic", share(t, g.growth(s, 1, job.OhmicGrowth, ohmic).contributions, "temperature, not corrected (bound from 20 kJ/mol)"), want*2/7, 1e-9)
	if o := g.growth(s, 2, job.ChargeTransferGrowth, chargeTransfer); o.reason.Code != "temperatures-differ" || o.value.Known() {
		t.Errorf("0.9 °C apart: %+v", o)
	}
	if o := g.atReference(s, 2, job.OhmicOhm, ohmic); o.reason.Code != "reference-temperature-apart" {
		t.Errorf("at reference, 0.9 °C off: %+v", o)
	}
	// One resistance may have a correction where the other has none.
	j.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionDeclared, ChargeTransfer: &job.Stated{Value: 50}}
	g = founded(j, s)
	if g.growth(s, 2, job.ChargeTransferGrowth, chargeTransfer).reason.says() || g.growth(s, 2, job.OhmicGrowth, ohmic).reason.Code == "" {
		t.Error("the correction of one resistance counted for the other")
	}
}

// Growth has no unit: all resistances a thousand times as large, instrument's offset too, and nothing changes.
func TestScalingResistancesLeavesGrowth(t *testing.T) {
	of := func(factor float64) []outcome {
		s := fittedCell(0.4, given{row("A", 0, 25), ohm(0.020*factor, 0.004), ohm(0.015*factor, 0.01)}, given{row("A", 90, 21), ohm(0.024*factor, 0.003), ohm(0.030*factor, 0.02)})
		j := syntheticJob()
		j.Instrument.AbsoluteUncertaintyOhm *= factor
		g := founded(j, s)
		return []outcome{g.growth(s, 1, job.OhmicGrowth, ohmic), g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer), g.growth(s, 1, job.TotalResistanceGrowth, ohmic, polarisation)}
	}
	one, thousand := of(1), of(1000)
	for i := range one {
		near(t, "growth", thousand[i].value.Estimate(), one[i].value.Estimate(), 1e-12)
		near(t, "u", thousand[i].logU, one[i].logU, 1e-12)
	}
}

// What the circuit's misfit gives: all of it to a resistance, to a growth only what does not cancel and what drifting exponents add.
func TestMisfitOfTheCircuit(t *testing.T) {
	s := fittedCell(0, given{row("A", 0, 25), ohm(0.02, 0), ohm(0.015, 0)}, given{row("A", 30, 25), ohm(0.02, 0), ohm(0.015, 0)})
	s.Measurements[0].Fit.LogModelU[fit.ChargeTransfer] = 0.05
	s.Measurements[1].Fit.LogModelU[fit.ChargeTransfer] = 0.04
	s.misfits = func(i, j int, _ fit.Element) float64 { return 0.03 * math.Abs(float64(i-j)) }
	g := founded(syntheticJob(), s)
	near(t, "absolute", share(t, g.atReference(s, 1, job.ChargeTransferOhm, chargeTransfer).contributions, circuitMisfit), 0.04*0.015, 1e-12)
	near(t, "growth", share(t, g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer).contributions, circuitMisfit), 0.03, 1e-12)
	s.misfits = nil
	near(t, "growth", share(t, g.growth(s, 1, job.ChargeTransferGrowth, chargeTransfer).contributions, circuitMisfit), 0.01, 1e-12)
}

// What a growth's uncertainty is made of is kept of the measurement that is judged; all keep the uncertainty itself.
func TestBudgetsOfGrowthsAreThoseOfTheJudged(t *testing.T) {
	b := newBench().add(fresh, row("A", 0, 25)).add(aged(fresh, 1.1, 1.2), row("A", 9, 25)).add(aged(fresh, 1.2, 1.5), row("A", 20, 25))
	c := b.assess(t).Cells.At(0)
	for i, m := range c.Measurements {
		for _, g := range []Growth{m.OhmicGrowth, m.ChargeTransferGrowth, m.TotalGrowth} {
			if judged := i == c.Latest; len(g.Contributions) > 0 != judged || i > 0 && !(g.LogU > 0) {
				t.Errorf("measurement %d of %d: %+v", i, c.Latest, g)
			}
		}
	}
}
