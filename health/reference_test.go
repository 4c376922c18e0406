package health

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ohmledger/health/job"
)

func referenceJob(cells ...string) *job.Job {
	j := syntheticJob()
	j.Baseline = job.Baseline{Source: job.ReferenceCells, Cells: cells}
	return j
}

// oneSpectrum is a cell measured once.
func oneSpectrum(name string, celsius, chargeTransfer float64) *specimen {
	return fittedCell(0, given{row(name, 0, celsius), ohm(0.020, 0.002), ohm(chargeTransfer, 0.002)})
}

// Mean and spread of three cells by hand. The spread counts whole: it is what one new cell differs from the mean by.
func TestReferenceCellsByHand(t *testing.T) {
	cells := []*specimen{oneSpectrum("R1", 25, 0.0150), oneSpectrum("R2", 25, 0.0165), oneSpectrum("R3", 25, 0.0135), oneSpectrum("A", 25, 0.030)}
	g := founded(referenceJob("R1", "R2", "R3"), cells...)
	a := cells[3]
	mean := (math.Log(0.0150) + math.Log(0.0165) + math.Log(0.0135)) / 3
	spread := 0.0
	for _, r := range []float64{0.0150, 0.0165, 0.0135} {
		spread += math.Pow(math.Log(r)-mean, 2) / 2
	}
	o := g.growth(a, 0, job.ChargeTransferGrowth, chargeTransfer)
	near(t, "growth", o.value.Estimate(), 0.030/math.Exp(mean), 1e-12)
	near(t, "spread", share(t, o.contributions, "spread of the reference cells"), widening(2)*math.Sqrt(spread), 1e-12)
	near(t, "mean", share(t, o.contributions, "mean of the reference cells"), widening(2)*math.Sqrt(spread/3), 1e-12)
	near(t, "scale", share(t, o.contributions, instrumentScale), 0, 0)
	near(t, "energy", share(t, o.contributions, "activation energy"), 0, 0)
	near(t, "baseline", a.footing.ChargeTransfer.Estimate(), math.Exp(mean), 1e-12)
	if len(a.footing.Cells) != 3 || a.footing.TemperatureC != 25 || *a.footing.SOCPercent != 50 {
		t.Errorf("footing %+v", a.footing.Baseline)
	}
}

// The same group, each cell at a temperature of its own: what they are at the reference temperature is unchanged.
func TestReferenceCellsAreBroughtToTheReferenceTemperature(t *testing.T) {
	at := func(name string, celsius, r float64) *specimen {
		x := 1/kelvin(celsius) - 1/298.15
		return oneSpectrum(name, celsius, r*math.Exp(50e3/molarGas*x))
	}
	cells := []*specimen{at("R1", 20, 0.0150), at("R2", 30, 0.0165), at("R3", 22, 0.0135), at("A", 28, 0.030)}
	g := founded(referenceJob("R1", "R2", "R3"), cells...)
	o := g.growth(cells[3], 0, job.ChargeTransferGrowth, chargeTransfer)
	near(t, "growth", o.value.Estimate(), 0.030/math.Cbrt(0.0150*0.0165*0.0135), 1e-9)
	x := 1/kelvin(28) - (1/kelvin(20)+1/kelvin(30)+1/kelvin(22))/3
	near(t, "energy", share(t, o.contributions, "activation energy"), math.Abs(5e3/molarGas*x), 1e-12)
}

func TestReferenceCellsThatAreNotEnough(t *testing.T) {
	without := oneSpectrum("R2", 25, 0.0165)
	without.Measurements[0].Quality = Quality{Findings: []Finding{{Severity: Reject, Message: "Gross."}}}
	cells := []*specimen{oneSpectrum("R1", 25, 0.0150), without, oneSpectrum("A", 25, 0.030)}
	g := founded(referenceJob("R1", "R2"), cells...)
	o := g.growth(cells[2], 0, job.ChargeTransferGrowth, chargeTransfer)
	if o.reason.Code != "reference-too-few" {
		t.Errorf("%+v", o)
	}
	if note := fmt.Sprint(cells[2].footing.Statements); !strings.Contains(note, "R2") {
		t.Errorf("note %q", note)
	}
	g = founded(referenceJob("R2"), cells...)
	if o := g.growth(cells[2], 0, job.OhmicGrowth, ohmic); o.reason.Code != "reference-none" {
		t.Errorf("%+v", o)
	}
}

// Two arcs on one side and one on the other: the slower arc is not the same thing, the sum of all is.
func TestArcsOfBaselineAndCellMustAgree(t *testing.T) {
	cells := []*specimen{oneSpectrum("R1", 25, 0.0150), oneSpectrum("R2", 25, 0.0165), oneSpectrum("A", 25, 0.030)}
	cells[2].Arcs = 2
	g := founded(referenceJob("R1", "R2"), cells...)
	if o := g.growth(cells[2], 0, job.ChargeTransferGrowth, chargeTransfer); o.reason.Code != "arcs-differ" {
		t.Errorf("%+v", o)
	}
	if o := g.growth(cells[2], 0, job.TotalResistanceGrowth, ohmic, polarisation); o.reason.says() {
		t.Errorf("%+v", o)
	}
}

// Reference cells that differ among themselves in how many arcs they show have no common slower arc.
func TestArcsOfReferenceCellsMustAgree(t *testing.T) {
	cells := []*specimen{oneSpectrum("R1", 25, 0.0150), oneSpectrum("R2", 25, 0.0165), oneSpectrum("A", 25, 0.030)}
	cells[1].Arcs = 2
	g := founded(referenceJob("R1", "R2"), cells...)
	if o := g.growth(cells[2], 0, job.ChargeTransferGrowth, chargeTransfer); o.reason.Facts[len(o.reason.Facts)-1].Within.Code != "reference-arcs-differ" {
		t.Errorf("%+v", o)
	}
}

// Without a correction a group that was measured at one temperature is a baseline at that temperature.
func TestReferenceCellsWithoutCorrection(t *testing.T) {
	j := referenceJob("R1", "R2", "R3")
	j.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionNone}
	cells := []*specimen{oneSpectrum("R1", 20, 0.0150), oneSpectrum("R2", 20.2, 0.0165), oneSpectrum("R3", 24, 0.0165), oneSpectrum("A", 20.1, 0.030), oneSpectrum("B", 25, 0.030)}
	g := founded(j, cells...)
	o := g.growth(cells[3], 0, job.ChargeTransferGrowth, chargeTransfer)
	near(t, "growth", o.value.Estimate(), 0.030/math.Sqrt(0.0150*0.0165), 1e-12)
	near(t, "temperature", cells[3].footing.TemperatureC, 20.1, 1e-12)
	if o := g.growth(cells[4], 0, job.ChargeTransferGrowth, chargeTransfer); o.reason.Code != "temperatures-differ" {
		t.Errorf("%+v", o)
	}
}
