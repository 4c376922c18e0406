package health

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// lotOf are cells that passed, with values of one quantity.
func lotOf(q job.Quantity, values ...float64) (cells []LotCell) {
	for i, v := range values {
		cells = append(cells, LotCell{Name: fmt.Sprintf("C%03d", i), Verdict: Pass,
			Values: []QuantityValue{{Quantity: q, Value: fit.NewValue(v, v/100), Own: v / 200}}})
	}
	return cells
}

func groupingJob(size int, arrangement string, by ...job.Quantity) *job.Job {
	return &job.Job{Grouping: &job.Grouping{Size: size, Arrangement: arrangement, By: by, WithinGrade: true}}
}

// manyCells are retired cells with capacity and resistances that hang together.
func manyCells(n int, seed uint64) (cells []LotCell) {
	random := rand.New(rand.NewPCG(seed, 3))
	for i := range n {
		age := random.NormFloat64()
		value := func(q job.Quantity, v float64) QuantityValue {
			return QuantityValue{Quantity: q, Value: fit.NewValue(v, 0.01*v), Own: 0.005 * v}
		}
		cells = append(cells, LotCell{Name: fmt.Sprintf("R%04d", i), Verdict: Pass, Values: []QuantityValue{
			value(job.ChargeTransferOhm, 0.02*math.Exp(0.3*age+0.1*random.NormFloat64())),
			value(job.OhmicOhm, 0.015*math.Exp(0.1*age+0.1*random.NormFloat64())),
			value(job.CapacityAh, 2.2-0.15*age+0.05*random.NormFloat64()),
		}})
	}
	return cells
}

var threeQuantities = []job.Quantity{job.ChargeTransferOhm, job.OhmicOhm, job.CapacityAh}

func TestGroupingIsNeverWorseThanSorting(t *testing.T) {
	for seed := range uint64(12) {
		cells := manyCells(40+int(seed)*11, seed)
		for n := 1; n <= 3; n++ {
			g := grouping(groupingJob(5, "series", threeQuantities[:n]...), cells, nil)
			if g.WorstSpread > g.SortedSpread || !(g.SortedSpread < g.RandomSpread) {
				t.Errorf("%d cells by %d quantities: %v, sorted %v, random %v", len(cells), n, g.WorstSpread, g.SortedSpread, g.RandomSpread)
			}
			if g.WorstSpread < g.LeastSpread-1e-9 || g.Exact && g.WorstSpread > g.LeastSpread+1e-9 {
				t.Errorf("%d cells by %d quantities: %v where nothing can be below %v", len(cells), n, g.WorstSpread, g.LeastSpread)
			}
			if n > 1 && !(g.WorstSpread < 0.8*g.SortedSpread || g.WorstSpread < 1.1*g.LeastSpread) {
				t.Errorf("%d cells by %d quantities: search gained little: %v, sorted %v, bound %v", len(cells), n, g.WorstSpread, g.SortedSpread, g.LeastSpread)
			}
			if len(g.Groups)*5+len(g.Leftover) != len(cells) || g.Exact != (n == 1 || g.WorstSpread <= g.LeastSpread*(1+1e-12)) {
				t.Errorf("%d groups and %d left of %d", len(g.Groups), len(g.Leftover), len(cells))
			}
		}
	}
}

// Groups of several quantities are known to be the best there are where their worst spread is the bound: twins along a line. Of three
// cells at each corner of a square some pairs reach from corner to corner, which neither quantity alone nor the nearest cell tells.
func TestGroupingThatABoundProves(t *testing.T) {
	by := threeQuantities[:2]
	var pairs, corners []LotCell
	for i := range 12 {
		cell := func(x, y float64) LotCell {
			return LotCell{Name: fmt.Sprintf("P%02d", i), Verdict: Pass, Values: []QuantityValue{
				{Quantity: by[0], Value: fit.NewValue(x, x/100)}, {Quantity: by[1], Value: fit.NewValue(y, y/100)}}}
		}
		v := float64(1+i/2*2) + 0.1*float64(i%2)
		pairs = append(pairs, cell(v, 2*v))
		corners = append(corners, cell(1+float64(i/3%2)+0.01*float64(i%3), 1+float64(i/6)+0.01*float64(i%3)))
	}
	if g := grouping(groupingJob(2, "series", by...), pairs, nil); !g.Exact || !(g.LeastSpread > 0) {
		t.Errorf("pairs: worst %v, least %v, exact %v", g.WorstSpread, g.LeastSpread, g.Exact)
	}
	if g := grouping(groupingJob(2, "series", by...), corners, nil); g.Exact || !(g.WorstSpread > 5*g.LeastSpread) {
		t.Errorf("corners: worst %v, least %v, exact %v", g.WorstSpread, g.LeastSpread, g.Exact)
	}
	if g := grouping(groupingJob(20, "series", by...), pairs, nil); g.Exact {
		t.Error("there is no group, and none is the best")
	}
}

func TestGroupingHangsOnNoOrder(t *testing.T) {
	cells := manyCells(61, 5)
	j := groupingJob(7, "parallel", threeQuantities...)
	want := fmt.Sprintf("%+v", grouping(j, cells, nil))
	random := rand.New(rand.NewPCG(1, 1))
	for range 3 {
		random.Shuffle(len(cells), func(a, b int) { cells[a], cells[b] = cells[b], cells[a] })
		if got := fmt.Sprintf("%+v", grouping(j, slices.Clone(cells), nil)); got != want {
			t.Fatalf("shuffled:\n%s\nwant\n%s", got, want)
		}
	}
}

func TestGroupingWithinGrade(t *testing.T) {
	cells := manyCells(30, 9)
	for i := range cells {
		cells[i].Grade = []string{"A", "B", ""}[i%3]
	}
	cells[0].Verdict = Fail
	cells[1].Verdict = NotEvaluated
	cells[3].Values[2] = QuantityValue{Quantity: job.CapacityAh}
	j := groupingJob(4, "series", threeQuantities...)
	j.Grades = []job.Grade{{Name: "A"}, {Name: "B"}}
	j.Limits = []job.Limit{{Quantity: job.CapacityAh, Side: job.Min, Bound: 1}}
	g := grouping(j, cells, nil)
	grade := map[string]string{}
	for _, c := range cells {
		grade[c.Name] = c.Grade
	}
	for i, m := range g.Groups {
		if m.Number != i+1 {
			t.Errorf("group %d has number %d", i, m.Number)
		}
		for _, c := range m.Cells {
			if grade[c] != m.Grade {
				t.Errorf("%s of grade %q in a group of %q", c, grade[c], m.Grade)
			}
		}
	}
	codes := map[string]int{}
	for _, l := range g.Leftover {
		codes[l.Because.Code]++
	}
	if codes["leftover-verdict"] != 2 || codes["leftover-without-grade"] != 10 || codes["leftover-without-value"] != 1 || len(g.Groups) != 4 {
		t.Errorf("%v, %d groups", codes, len(g.Groups))
	}
}

// Four cells of 10, 10, 10 and 5 mΩ in parallel: the last carries 2/5 of the current where 1/4 would be even. In series
// the cell with 1.8 Ah of a mean of 2 Ah ends the discharge.
func TestArrangements(t *testing.T) {
	g := grouping(groupingJob(4, "parallel", job.OhmicOhm), lotOf(job.OhmicOhm, 0.010, 0.010, 0.010, 0.005), nil)
	if m := g.Groups[0]; m.Limiting != "C003" || math.Abs(m.Ratio-1.6) > 1e-12 {
		t.Errorf("%+v", m)
	}
	g = grouping(groupingJob(3, "series", job.CapacityAh), lotOf(job.CapacityAh, 2.1, 1.8, 2.1), nil)
	if m := g.Groups[0]; m.Limiting != "C001" || math.Abs(m.Ratio-0.9) > 1e-12 || len(g.Notes) != 1 {
		t.Errorf("%+v %+v", m, g.Notes)
	}
	g = grouping(groupingJob(3, "series", job.OhmicOhm), lotOf(job.OhmicOhm, 2.1, 1.8, 2.1), nil)
	if m := g.Groups[0]; m.Limiting != "" || g.Notes[1].Code != "series-without-capacity" {
		t.Errorf("%+v %+v", m, g.Notes)
	}
}

func TestGroupingOfTooFewCells(t *testing.T) {
	g := grouping(groupingJob(4, "series", job.CapacityAh), lotOf(job.CapacityAh, 2, 2, 2), nil)
	if len(g.Groups) != 0 || len(g.Leftover) != 3 || !math.IsNaN(g.WorstSpread) {
		t.Errorf("%+v", g)
	}
	g = grouping(groupingJob(4, "series", job.CapacityAh), nil, nil)
	if len(g.Groups) != 0 || len(g.Leftover) != 0 {
		t.Errorf("%+v", g)
	}
	g = grouping(groupingJob(2, "series", job.CapacityAh), lotOf(job.CapacityAh, 2, 2, 2), nil)
	if len(g.Groups) != 1 || g.WorstSpread != 0 {
		t.Errorf("equal cells: %+v", g)
	}
}

// Control chart factors d₂ (NIST/SEMATECH e-Handbook 6.3.2.1).
func TestExpectedRange(t *testing.T) {
	for n, want := range map[int]float64{2: 1.128, 3: 1.693, 5: 2.326, 10: 3.078} {
		near(t, "d2", expectedRange(n), want, 5e-4)
	}
}
