package report_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/internal/specimen"
)

// inLot gives the cells values as if measured, and makes the lot of them.
func inLot(t *testing.T, a *health.Assessment) *health.Assessment {
	t.Helper()
	random := rand.New(rand.NewPCG(5, 6))
	var members []health.LotCell
	for i := range a.Cells.Len() {
		c := a.Cells.At(i)
		c.Values = nil
		for _, q := range health.LotQuantities(a.Job) {
			v := health.QuantityValue{Quantity: q, Value: fit.NewValue(0.02*math.Exp(0.04*random.NormFloat64()), 2e-4), Own: 1e-4}
			switch {
			case q == job.CapacityRetention:
				v.Value, v.Own = fit.NewValue(0.9+0.01*random.Float64(), 0), 0
			case i == 1:
				v = health.QuantityValue{Quantity: q, Own: math.NaN(), Because: health.Statement{Code: "not-checked"}}
			case i == 2:
				v.Value = fit.NewValue(0.05, 2e-4)
			}
			c.Values = append(c.Values, v)
		}
		c.Grading = &health.Grading{Grade: c.Grade, Reason: "All limits are met.", Better: "A", Missed: []health.Shortfall{{Criterion: c.Criteria[0], By: 0.1}}}
		c.Departures = []health.Departure{{Quantity: job.OhmicGrowth, Log: 0.1, Measurement: 0.01, Group: 0.02, GroupCells: 5, Score: 4.5, Critical: 2.3,
			Departs: true, Dominant: "group", Reason: "Far off."}}
		m := health.LotCellOf(a.Job, c)
		m.Group = fmt.Sprintf("pallet %d", i%3)
		members = append(members, m)
	}
	words := document(t, a).Words
	a.Lot = health.LotOf(a.Job, members, words.Phrase)
	return a
}

// lots are lots of every kind that a job can ask for.
func lots(t *testing.T) map[string]*health.Assessment {
	plain, whole, few, variables, impossible := specimen.Lot(40, 1), specimen.Lot(80, 1), specimen.Lot(2, 1), specimen.Lot(80, 1), specimen.Lot(6, 1)
	plain.Job.GroupBy = ""
	for _, a := range []*health.Assessment{whole, variables} {
		a.Job.GroupBy = "pallet"
		a.Job.Limits = []job.Limit{{Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.024}, {Quantity: job.OhmicOhm, Side: job.Min, Bound: 0.016},
			{Quantity: job.CapacityRetention, Side: job.Min, Bound: 0.8}}
		a.Job.Grouping = &job.Grouping{Size: 14, Arrangement: "parallel", By: []job.Quantity{job.OhmicOhm, job.CapacityRetention}, WithinGrade: false}
	}
	whole.Job.Sampling = &job.Sampling{Standard: "attributes", LotSize: 1000, AQL: 1, Level: "II", Severity: "normal"}
	variables.Job.Sampling = &job.Sampling{Standard: "variables", LotSize: 1000, AQL: 1, Level: "II", Severity: "normal"}
	impossible.Job.Sampling = &job.Sampling{Standard: "attributes", LotSize: 1000, AQL: 1, Level: "II", Severity: "reduced"}
	impossible.Job.Grouping = &job.Grouping{Size: 14, Arrangement: "series", By: []job.Quantity{job.OhmicOhm}}
	all := map[string]*health.Assessment{"plain": plain, "whole": whole, "few": few, "variables": variables, "impossible": impossible}
	for _, a := range all {
		inLot(t, a)
	}
	return all
}

func TestLotsKeepTheirSchema(t *testing.T) {
	s := schema(t)
	for name, a := range lots(t) {
		instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(results(t, a)))
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if err := s.Validate(instance); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestSchemaOfLotsIsStrict renames each member of a lot in turn.
func TestSchemaOfLotsIsStrict(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	s := schema(t)
	all := lots(t)
	for _, kind := range []string{"whole", "variables"} {
		a := all[kind]
		a.Cells = a.Cells.Between(2, 3)
		text := results(t, a)
		var tree map[string]any
		if err := json.Unmarshal(text, &tree); err != nil {
			t.Fatal(err)
		}
		names := map[string]bool{}
		collect(tree["lot"], names)
		if len(names) < 90 {
			t.Errorf("%s: only %d names in the lot", kind, len(names))
		}
		for name := range names {
			instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			if s.Validate(renamed(instance, name)) == nil {
				t.Errorf("%s: the schema holds although %q is called otherwise", kind, name)
			}
		}
	}
}

// unasked are null where the job asks for nothing, which needs no reason.
var unasked = []string{"grouped_by", "sampling", "grouping", "grade", "group", "better", "standard_uncertainty"}

// TestLotsGiveReasons: whatever is null in a lot has a reason in the object that holds it, or in the nearest about it; and
// what has a reason is null.
func TestLotsGiveReasons(t *testing.T) {
	seen := 0
	for name, a := range lots(t) {
		var tree map[string]any
		if err := json.Unmarshal(results(t, a), &tree); err != nil {
			t.Fatal(err)
		}
		seen += reasoned(t, name+": lot", "", tree["lot"], nil)
		for i, c := range tree["cells"].([]any) {
			seen += summedReasons(t, fmt.Sprintf("%s: cell %d", name, i), c.(map[string]any)["quantities"].([]any))
		}
	}
	if seen < 100 {
		t.Errorf("only %d reasons seen", seen)
	}
}

// reasoned goes through an object; given are the reasons of the nearest object about it that has some, path leads there from it.
func reasoned(t *testing.T, where, path string, v any, given map[string]bool) (seen int) {
	switch v := v.(type) {
	case []any:
		for i, item := range v {
			seen += reasoned(t, fmt.Sprintf("%s[%d]", where, i), path, item, given)
		}
	case map[string]any:
		list, own := v["not_evaluated"].([]any)
		if own {
			given, path = map[string]bool{}, ""
			for _, r := range list {
				given[r.(map[string]any)["quantity"].(string)] = true
			}
		}
		for name, member := range v {
			at := name
			if path != "" {
				at = path + "." + name
			}
			if member == nil && !slices.Contains(unasked, name) {
				seen++
				if !given[at] && v["reason"] == nil {
					t.Errorf("%s: %s is null without a reason", where, name)
				}
			}
			if member != nil && given[at] {
				t.Errorf("%s: %s has a value and a reason why it has none", where, name)
			}
			seen += reasoned(t, where+"."+name, at, member, given)
		}
	}
	return seen
}

func summedReasons(t *testing.T, where string, list []any) (seen int) {
	for _, v := range list {
		q := v.(map[string]any)
		missing := q["value"] == nil || q["own_standard_uncertainty"] == nil
		if missing {
			seen++
		}
		if missing != (q["reason"] != nil) {
			t.Errorf("%s: %v", where, q)
		}
	}
	return seen
}

// TestLotsReadBack: what a machine reads is what was computed.
func TestLotsReadBack(t *testing.T) {
	a := lots(t)["whole"]
	var got struct {
		Lot struct {
			Cells      int
			Quantities []struct {
				Quantity string
				Summary  struct{ Mean, Standard_Deviation float64 }
				Limits   []struct {
					Max, Min     *float64
					Cells_Beyond int
				}
				Distributions []struct {
					Law        string
					Capability *struct{ Cp, Cpk *struct{ Value float64 } }
				}
				Outliers struct{ Cells []struct{ Cell string } }
			}
			Groups   []struct{ Name string }
			Sampling struct {
				Decision string
				Plan     struct {
					Code_Letter       string
					Sample_Size       int
					Acceptance_Number int
				}
			}
			Grouping struct {
				Worst_Spread, Sorted_Spread float64
				Groups                      []struct{ Cells []string }
			}
		}
	}
	if err := json.Unmarshal(results(t, a), &got); err != nil {
		t.Fatal(err)
	}
	// MIL-STD-105E, Tables I and II-A: 1000 cells at level II are letter J, 80 cells; 2 may fail at an AQL of 1.0.
	if p := got.Lot.Sampling.Plan; p.Code_Letter != "J" || p.Sample_Size != 80 || p.Acceptance_Number != 2 {
		t.Errorf("plan %+v", p)
	}
	for i, q := range a.Lot.Quantities {
		g := got.Lot.Quantities[i]
		if g.Quantity != string(q.Quantity) || g.Summary.Mean != q.Summary.Mean || g.Summary.Standard_Deviation != q.Summary.StandardDeviation {
			t.Errorf("%s: %+v", q.Quantity, g.Summary)
		}
		if len(g.Outliers.Cells) != len(q.Outliers.Cells) || len(g.Limits) != len(q.Limits) || len(g.Distributions) != len(q.Fits) {
			t.Errorf("%s: %+v", q.Quantity, g)
		}
	}
	ohmic := got.Lot.Quantities[slices.IndexFunc(a.Lot.Quantities, func(q health.LotQuantity) bool { return q.Quantity == job.OhmicOhm })]
	if c := ohmic.Distributions[0].Capability; len(ohmic.Outliers.Cells) == 0 || c == nil || c.Cp == nil || c.Cpk == nil || !(c.Cpk.Value <= c.Cp.Value) {
		t.Errorf("ohmic resistance: %+v", ohmic)
	}
	if g := got.Lot.Grouping; len(g.Groups) == 0 || len(g.Groups[0].Cells) != 14 || !(g.Worst_Spread <= g.Sorted_Spread) || len(got.Lot.Groups) != 3 {
		t.Errorf("%+v, groups %+v", g, got.Lot.Groups)
	}
}
