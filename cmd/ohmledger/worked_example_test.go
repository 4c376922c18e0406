package main

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"ohmledger/health"
	"ohmledger/report/notation"
)

const readme = "../../README.md"

// Where the worked example stands in the README.
const (
	exampleBegins = "<!-- worked example: written by go test ./cmd/ohmledger -update -->\n"
	exampleEnds   = "<!-- end of the worked example -->"
)

// workedExample is TM-04 of the demonstration, in figures.
func workedExample(cell *health.Cell) string {
	first, last := &cell.Measurements[cell.Baseline.Measurements[0]], &cell.Measurements[cell.Latest]
	c := &cell.Criteria[0]
	scale := notation.Ohm.Scale(first.Fit.ChargeTransfer, last.Fit.ChargeTransfer)
	n := numbers
	text := func(format string, arguments ...any) string { return fmt.Sprintf(format+"\n", arguments...) }
	raw := last.Fit.ChargeTransfer.Estimate() / first.Fit.ChargeTransfer.Estimate()
	u := c.Value.StandardUncertainty()
	return text("| | new, %s | aged, %s |", n.Date(first.Row.MeasuredAt), n.Date(last.Row.MeasuredAt)) +
		text("| --- | --- | --- |") +
		text("| charge-transfer resistance, as fitted | %s | %s |", n.Value(first.Fit.ChargeTransfer, scale), n.Value(last.Fit.ChargeTransfer, scale)) +
		text("| temperature of the cell | %s | %s |", n.Temperature(first.Row.TemperatureC, first.Row.TemperatureUncertaintyC), n.Temperature(last.Row.TemperatureC, last.Row.TemperatureUncertaintyC)) +
		text("") +
		text("| step | |") +
		text("| --- | --- |") +
		text("| ratio as measured | %.3f |", raw) +
		text("| to equal temperature, with 54(4) kJ/mol | × exp(−E/R·(1/T − 1/T₀)) = %.3f |", c.Value.Estimate()/raw) +
		text("| growth | %.3f |", c.Value.Estimate()) +
		text("| its relative standard uncertainty | %.1f %%, of which temperature %.0f %% and activation energy %.0f %% of the variance |",
			100*u/c.Value.Estimate(), 100*share(c, "temperature"), 100*share(c, "activation")) +
		text("| coverage interval, k = 2 | %s |", n.Interval(c.Lower, c.Upper, u, notation.Scale{})) +
		text("| limit, and limit less guard band | 2.0 and %.3f |", c.AcceptanceLimit) +
		text("| probability that the growth is within the limit | %.1f %% |", 100*c.ProbabilityOfConformity) +
		text("| verdict | **%s** |", c.Verdict)
}

// share is the part of the variance that contributions of a name have.
func share(c *health.Criterion, name string) (sum float64) {
	for _, part := range c.Contributions {
		if strings.Contains(part.Source, name) {
			sum += part.Share
		}
	}
	return sum
}

func example(t *testing.T) *health.Cell {
	t.Helper()
	cell := demonstrated(t).Assessment.Cells.At(3)
	if cell.Name != "TM-04" {
		t.Fatal(cell.Name)
	}
	return cell
}

func TestWorkedExampleIsReproduced(t *testing.T) {
	text := string(must(os.ReadFile(readme)))
	before, rest, begun := strings.Cut(text, exampleBegins)
	_, after, ended := strings.Cut(rest, exampleEnds)
	if !begun || !ended {
		t.Fatal("the README has no worked example")
	}
	golden(t, readme, []byte(before+exampleBegins+workedExample(example(t))+exampleEnds+after))
}

// TestWorkedExampleByHand reckons the growth and its uncertainty anew from the fitted resistances: Arrhenius' law with the
// molar gas constant (CODATA 2022, exact), and the sum of squares of JCGM 100:2008, 5.1.2.
func TestWorkedExampleByHand(t *testing.T) {
	cell := example(t)
	first, last := &cell.Measurements[0], &cell.Measurements[cell.Latest]
	const energy, energyU = 54., 4.
	t1, t2 := first.Row.TemperatureC+273.15, last.Row.TemperatureC+273.15
	x := 1/t2 - 1/t1
	raw := last.Fit.ChargeTransfer.Estimate() / first.Fit.ChargeTransfer.Estimate()
	growth := raw * math.Exp(-energy/molarGas*x)
	c := &cell.Criteria[0]
	if math.Abs(growth/c.Value.Estimate()-1) > 1e-9 {
		t.Errorf("by hand %.9f, reported %.9f", growth, c.Value.Estimate())
	}
	// The temperatures and the activation energy; what else there is is small, and adds.
	main := math.Sqrt(sq(energyU/molarGas*x) + sq(energy/molarGas*0.3/t1/t1) + sq(energy/molarGas*0.3/t2/t2))
	if u := last.ChargeTransferGrowth.LogU; u < main || u > 1.03*main {
		t.Errorf("by hand at least %.5f, reported %.5f", main, u)
	}
	u := last.ChargeTransferGrowth.LogU
	for what, pair := range map[string][2]float64{
		"lower end":        {growth * math.Exp(-2*u), c.Lower},
		"upper end":        {growth * math.Exp(2*u), c.Upper},
		"acceptance limit": {2 * math.Exp(-2*u), c.AcceptanceLimit},
		"probability":      {0.5 * math.Erfc(-math.Log(2/growth)/u/math.Sqrt2), c.ProbabilityOfConformity}, // JCGM 106:2012, 7.4
	} {
		if math.Abs(pair[0]/pair[1]-1) > 1e-9 {
			t.Errorf("%s by hand %.9f, reported %.9f", what, pair[0], pair[1])
		}
	}
}

func sq(x float64) float64 { return x * x }
