package main

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// The terminal says of a lot what was decided and why, the grades, the groups, and which part differs.
func TestLotsAreTold(t *testing.T) {
	because := health.Statement{Code: "sample-too-small", Facts: []health.Fact{{Name: "needed", Value: 50}, {Name: "inspected", Value: 43}, {Name: "missing", Value: 7}}}
	l := &health.Lot{Cells: 500, GroupedBy: "pallet",
		Sampling: &health.Inspection{Because: because},
		Grades:   []health.GradeCount{{Grade: "A", Cells: 300}, {Grade: "B", Cells: 0}, {Cells: 200}},
		Grouping: &health.Grouping{Size: 14, Groups: make([]health.MatchedGroup, 21), Leftover: make([]health.LeftoverCell, 1)},
		Groups: []health.LotGroup{
			{Name: "P06", Cells: 50, Quantities: []health.GroupQuantity{{Quantity: job.OhmicOhm, Logarithmic: true, Difference: 0.3, P: 0.9}}},
			{Name: "P07\x1b[2J", Cells: 50, Counts: health.Counts{Fail: 48, ConditionalFail: 2}, Quantities: []health.GroupQuantity{
				{Quantity: job.OhmicOhm, Logarithmic: true, Difference: 0.178, Departs: true},
				{Quantity: job.ChargeTransferOhm, Logarithmic: true, Difference: math.NaN()},
				{Quantity: job.CapacityAh, Difference: -0.05, Interval: fit.Interval{Lower: -0.06, Upper: -0.04}, Departs: true}}}}}
	say, err := english()
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	newConsole(&out, &out).tellLot(say, l)
	text := out.String()
	for _, want := range []string{
		"- Delivery not decided: The plan takes 50 cells and 43 were measured: 7 are missing", "- Grades: 300 A, 0 B, 200 without a grade.",
		"- 21 groups of 14 made, 1 cell left over.", ": ohmic_ohm 17.8\u00a0% above, capacity_ah 0.0500 Ah below the rest; 50 of 50 fail.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %q", want, text)
		}
	}
	if strings.Contains(text, "P06") || strings.Contains(text, "\x1b") {
		t.Errorf("%q", text)
	}
	out.Reset()
	if newConsole(&out, &out).tellLot(say, nil); out.Len() > 0 {
		t.Errorf("%q", out.String())
	}
}
