package health

import (
	"math"
	"testing"

	"ohmledger/health/job"
	"ohmledger/health/sampling"
)

// MIL-STD-414, example B-1: lot of 40, level IV, AQL 1 %, five values below an upper limit of 209. The standard prints s 8.81;
// 8.80 is exact. Its M is 3.33 %, which is the law's value for a k of 1.525; the printed k of 1.53 gives 3.23 %.
func TestVariablesExampleB1(t *testing.T) {
	letter := sampling.VariablesLetter(40, "IV")
	p, ok := sampling.VariablesPlan(letter, 1.0, "normal")
	if letter != "D" || !ok || p.Size != 5 || p.Number != 1.53 {
		t.Fatalf("%s: %+v", letter, p)
	}
	i := Inspection{Inspected: 5, Constant: p.Number, LargestPercent: 100 * sampling.FractionBeyond(p.Number, 5)}
	near(t, "M", i.LargestPercent, 3.33, 0.11)
	near(t, "M before rounding", 100*sampling.FractionBeyond(1.525, 5), 3.33, 0.01)
	l := InspectedLimit{Quantity: job.CapacityAh, Upper: 209, Lower: math.NaN()}
	l.measure(lotOf(job.CapacityAh, 197, 188, 184, 205, 201), 0)
	near(t, "mean", l.Mean, 195, 1e-12)
	near(t, "s", l.SD, 8.8034, 1e-4)
	l.judge(&i)
	near(t, "Q", l.IndexUpper, 1.59, 5e-3)
	near(t, "p", l.PercentUpper, 2.187, 0.02)
	near(t, "p at Q 1.59", 100*sampling.FractionBeyond(1.59, 5), 2.187, 5e-4)
	if l.Decision != Accepted {
		t.Errorf("%+v", l)
	}
}

// delivery is a job with a sampling plan, and a sample of so many cells that passed, failed or were not evaluated.
func delivery(lot int, aql float64, passed, failed, doubtful int) *Inspection {
	j := &job.Job{Sampling: &job.Sampling{Standard: "attributes", LotSize: lot, AQL: aql, Level: "II", Severity: "normal"}}
	var cells []LotCell
	for verdict, n := range []int{int(NotEvaluated): doubtful, int(Pass): passed, int(Fail): failed} {
		for range n {
			cells = append(cells, LotCell{Verdict: Verdict(verdict)})
		}
	}
	return inspection(j, cells)
}

// Lot 1000, AQL 1 %: 80 cells, 2 may fail.
func TestInspectionByAttributes(t *testing.T) {
	for _, c := range []struct {
		passed, failed, doubtful int
		decision                 Acceptance
		code                     string
	}{
		{80, 0, 0, Accepted, "lot-accepted"}, {78, 2, 0, Accepted, "lot-accepted"}, {77, 3, 0, Rejected, "lot-rejected"},
		{78, 1, 1, Accepted, "lot-accepted"}, {77, 2, 1, Undecided, "doubtful-cells-decide"}, {0, 0, 80, Undecided, "doubtful-cells-decide"},
		{73, 0, 0, Undecided, "sample-too-small"}, {70, 3, 0, Rejected, "lot-rejected"}, {93, 0, 0, Undecided, "sample-too-large"},
		{1000, 0, 0, Undecided, "sample-is-whole-lot"}, {1001, 0, 0, Undecided, "sample-exceeds-lot"},
	} {
		i := delivery(1000, 1.0, c.passed, c.failed, c.doubtful)
		if i.Decision != c.decision || i.Because.Code != c.code || i.SampleSize != 80 || i.Acceptance != 2 || i.CodeLetter != "J" {
			t.Errorf("%+v: %v, %+v", c, i.Decision, i.Because)
		}
	}
	i := delivery(1000, 1.0, 73, 0, 0)
	near(t, "missing", i.Because.Facts[3].Value, 7, 0)
	near(t, "producer's risk", i.ProducersRisk, 1-sampling.BinomialCharacteristic(80, 2)(0.01), 1e-12)
	near(t, "limiting quality", i.LimitingPercent, 100*sampling.BinomialCharacteristic(80, 2).QualityAt(0.1), 1e-9)
	if i.Law != sampling.Binomial || delivery(500, 1.0, 50, 0, 0).Law != sampling.Hypergeometric {
		t.Error("law of the characteristic")
	}
	if small := delivery(8, 1.0, 8, 0, 0); small.SampleSize != 8 || small.Decision != Accepted {
		t.Errorf("a lot smaller than its sample: %+v", small)
	}
}

func TestInspectionsThatHaveNoPlan(t *testing.T) {
	j := &job.Job{Sampling: &job.Sampling{Standard: "attributes", LotSize: 1000, AQL: 1, Level: "II", Severity: "tightened"}}
	if i := inspection(j, nil); i.Decision != Undecided || i.Because.Code != "severity-without-table" {
		t.Errorf("%+v", i)
	}
	j.Sampling.Severity, j.Sampling.AQL = "normal", 15
	if i := inspection(j, nil); i.Because.Code != "no-sampling-plan" {
		t.Errorf("%+v", i)
	}
	j.Sampling = &job.Sampling{Standard: "variables", LotSize: 40, AQL: 1, Level: "IV", Severity: "reduced"}
	if i := inspection(j, nil); i.Because.Code != "severity-without-table" {
		t.Errorf("%+v", i)
	}
}

func TestInspectionByVariables(t *testing.T) {
	j := &job.Job{Sampling: &job.Sampling{Standard: "variables", LotSize: 40, AQL: 1, Level: "IV", Severity: "normal"},
		Limits: []job.Limit{{Quantity: job.CapacityAh, Side: job.Max, Bound: 209}}}
	cells := lotOf(job.CapacityAh, 197, 188, 184, 205, 201)
	if i := inspection(j, cells); i.Decision != Accepted || i.Because.Code != "lot-accepted-by-variables" || i.SampleSize != 5 || i.Law != sampling.NoncentralT {
		t.Errorf("%+v", i)
	}
	if l := inspection(j, cells).Limits[0]; !math.IsNaN(l.PercentLower) || l.PercentBeyond() != l.PercentUpper || !(l.PercentUpper > 0) {
		t.Errorf("one limit: %+v", l)
	}
	j.Limits[0].Bound = 207
	if i := inspection(j, cells); i.Decision != Rejected || i.Because.Code != "quantity-rejected" {
		t.Errorf("%+v", i)
	}
	j.Limits = []job.Limit{{Quantity: job.CapacityAh, Side: job.Max, Bound: 215}, {Quantity: job.CapacityAh, Side: job.Min, Bound: 150}}
	if i := inspection(j, cells); i.Decision != Accepted || len(i.Limits) != 1 || !(i.Limits[0].IndexLower > 4) {
		t.Errorf("%+v", i)
	}
	cells[2].Values[0] = QuantityValue{Quantity: job.CapacityAh}
	if i := inspection(j, cells); i.Decision != Undecided || i.Because.Code != "sample-values-missing" || !math.IsNaN(i.Limits[0].PercentBeyond()) || !math.IsNaN(i.Limits[0].Mean) {
		t.Errorf("%+v", i)
	}
	if i := inspection(j, cells[:4]); i.Decision != Undecided || i.Because.Code != "sample-too-small" {
		t.Errorf("%+v", i)
	}
}
