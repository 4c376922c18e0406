package report_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/internal/specimen"
)

func document(t testing.TB, a *health.Assessment) *report.Document {
	t.Helper()
	d, err := report.New(a, report.Options{Tool: report.Tool{Name: "ohmledger", Version: "0.0"}, Templates: os.DirFS("../templates")})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func results(t testing.TB, a *health.Assessment) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := report.WriteResults(&b, document(t, a)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	s, err := c.Compile("../templates/schema/results.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// bare is a one-arc cell with nothing that may be left out.
func bare() *health.Assessment {
	a := specimen.Lot(1, 1)
	m := &a.Cells.At(0).Measurements[0]
	m.Row.SOCPercent, m.Row.Cycles, m.Row.ThroughputAh, m.Row.CapacityAh, m.Row.AmplitudeA, m.Row.RestMinutes = nil, nil, nil, nil, nil, nil
	m.Row.Sensing, m.Row.Control, m.Row.Instrument, m.Row.Operator, m.Row.Fixture, m.Row.Extra = "", "", "", "", "", nil
	m.Quality.KramersKronig, m.Fit, m.Spectrum = nil, nil, nil
	a.Job.TemperatureCorrection = job.TemperatureCorrection{Source: job.CorrectionNone}
	a.Temperature = health.Temperature{Source: job.CorrectionNone, Note: "No correction was asked for."}
	return a
}

// full has every optional part.
func full() *health.Assessment {
	a := specimen.Assessment(specimen.Rules[2])
	a.Job.Sampling = &job.Sampling{Standard: "attributes", LotSize: 500, AQL: 1, Level: "II", Severity: "normal"}
	a.Job.Grouping = &job.Grouping{Size: 14, Arrangement: "series", By: []job.Quantity{job.OhmicOhm}}
	a.Job.FixtureCorrection = &job.FixtureCorrection{Resistance: &job.Stated{Value: 0.012, StandardUncertainty: 1e-4}}
	a.Temperature.Series = []health.ArrheniusSeries{{Cell: "LH-101", Element: fit.ChargeTransfer, ActivationEnergy: fit.NewValue(51.3, 0.9), RMSResidual: 0.02,
		Points: []health.ArrheniusPoint{{TemperatureC: 10, ResistanceOhm: 0.03, LogU: 0.01, LogResidual: -0.004, MeasurementOfCell: 2}}}}
	return a
}

func TestResultsKeepTheirSchema(t *testing.T) {
	s := schema(t)
	for name, a := range map[string]*health.Assessment{
		"full": full(), "bare": bare(), "empty": specimen.Empty(), "lot": specimen.Lot(40, 2), "no cells": {Job: specimen.Empty().Job},
	} {
		instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(results(t, a)))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if err := s.Validate(instance); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestSchemaIsStrict renames each member of the results in turn: a schema that still holds says nothing.
func TestSchemaIsStrict(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side in it")
	}
	s := schema(t)
	names := map[string]bool{}
	a := full()
	a.Cells = a.Cells.Between(2, 4)
	text := results(t, a)
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		t.Fatal(err)
	}
	collect(tree, names)
	if len(names) < 150 {
		t.Fatalf("only %d names in the results", len(names))
	}
	for name := range names {
		instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if s.Validate(renamed(instance, name)) == nil {
			t.Errorf("the schema holds although %q is called otherwise", name)
		}
	}
}

func collect(v any, names map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for name, member := range v {
			names[name] = true
			collect(member, names)
		}
	case []any:
		for _, item := range v {
			collect(item, names)
		}
	}
}

func renamed(v any, name string) any {
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for key, member := range v {
			if key == name {
				key += "_x"
			}
			out[key] = renamed(member, name)
		}
		return out
	case []any:
		for i := range v {
			v[i] = renamed(v[i], name)
		}
	}
	return v
}

func TestResultsHoldEveryNameOfTheContract(t *testing.T) {
	var tree any
	a := full()
	a.Job.Grouping = nil // none of its cells has all that a grouping needs
	if err := json.Unmarshal(results(t, inLot(t, a)), &tree); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{
		"schema", "tool.name", "tool.version", "report", "verdict", "counts.pass", "counts.fail", "lot",
		"cells.cell", "cells.verdict", "cells.grade", "cells.model.arcs",
		"cells.baseline.source", "cells.baseline.ohmic_ohm.value", "cells.baseline.charge_transfer_ohm.standard_uncertainty", "cells.baseline.note",
		"cells.measurements.file", "cells.measurements.sha256", "cells.measurements.measured_at", "cells.measurements.temperature_c", "cells.measurements.cycles",
		"cells.measurements.quality.accepted", "cells.measurements.quality.findings",
		"cells.measurements.quality.kramers_kronig.rms_residual", "cells.measurements.quality.kramers_kronig.max_residual", "cells.measurements.quality.kramers_kronig.time_constants",
		"cells.measurements.fit.converged", "cells.measurements.fit.points_used", "cells.measurements.fit.points_excluded.frequency_hz", "cells.measurements.fit.points_excluded.reason",
		"cells.measurements.fit.rms_residual", "cells.measurements.fit.chi_square_reduced",
		"cells.measurements.fit.parameters.inductance_h", "cells.measurements.fit.parameters.ohmic_ohm", "cells.measurements.fit.parameters.film_ohm",
		"cells.measurements.fit.parameters.charge_transfer_ohm", "cells.measurements.fit.parameters.charge_transfer_time_constant_s",
		"cells.measurements.fit.parameters.charge_transfer_exponent", "cells.measurements.fit.parameters.warburg_ohm_per_sqrt_s",
		"cells.measurements.ac_resistance_1khz_ohm", "cells.measurements.at_reference_temperature.ohmic_ohm", "cells.measurements.at_reference_temperature.charge_transfer_ohm",
		"cells.measurements.growth.ohmic", "cells.measurements.growth.charge_transfer",
		"cells.criteria.quantity", "cells.criteria.value", "cells.criteria.expanded_uncertainty", "cells.criteria.limit", "cells.criteria.side", "cells.criteria.verdict",
		"cells.criteria.reason", "cells.criteria.probability_of_conformity",
		"cells.trend.quantity", "cells.trend.against", "cells.trend.law", "cells.trend.rate", "cells.trend.crosses_limit_at.value",
		"cells.trend.crosses_limit_at.lower_95", "cells.trend.crosses_limit_at.upper_95", "cells.trend.crosses_limit_at.lower_95_with_shared",
		"cells.trend.crosses_limit_at.upper_95_with_shared", "cells.trend.reason",
	} {
		if !has(tree, strings.Split(path, ".")) {
			t.Errorf("%s is missing", path)
		}
	}
}

// has follows a path, into the first item of a list that is not empty.
func has(v any, path []string) bool {
	if list, ok := v.([]any); ok {
		return len(path) == 0 || len(list) > 0 && has(list[0], path)
	}
	if len(path) == 0 {
		return true
	}
	member, ok := v.(map[string]any)[path[0]]
	return ok && has(member, path[1:])
}

// Both intervals of a crossing are in, the one that the PDF states too; where it goes on beyond the horizon it has no end.
func TestResultsHoldBothIntervalsOfCrossings(t *testing.T) {
	a := full()
	x := crossingOf(t, a)
	x.WithShared.Upper = math.Inf(1)
	text := results(t, a)
	var got struct {
		Cells []struct {
			Trend []struct{ Crosses_Limit_At map[string]*float64 }
		}
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	for _, c := range got.Cells {
		for _, trend := range c.Trend {
			k := trend.Crosses_Limit_At
			if k == nil || *k["value"] != x.Value {
				continue
			}
			if *k["lower_95"] != x.Lower95 || *k["upper_95"] != x.Upper95 || *k["lower_95_with_shared"] != x.WithShared.Lower || k["upper_95_with_shared"] != nil {
				t.Errorf("%v, want %+v", k, x)
			}
			return
		}
	}
	t.Error("no crossing")
}

// crossingOf is the first crossing of an assessment.
func crossingOf(t *testing.T, a *health.Assessment) *health.Crossing {
	t.Helper()
	for _, c := range a.Cells.All() {
		for _, trend := range c.Trend {
			if trend.Crosses != nil {
				return trend.Crosses
			}
		}
	}
	t.Fatal("no crossing")
	return nil
}

func TestResultsReadBackExactly(t *testing.T) {
	a := full()
	var got struct {
		Cells []struct {
			Measurements []struct {
				Fit struct {
					Parameters map[string]*struct{ Value, Standard_Uncertainty float64 }
				}
			}
			Criteria []struct{ Value, Acceptance_Limit *float64 }
		}
	}
	if err := json.Unmarshal(results(t, a), &got); err != nil {
		t.Fatal(err)
	}
	for i, c := range a.Cells.All() {
		for k, m := range c.Measurements {
			q := got.Cells[i].Measurements[k].Fit.Parameters["charge_transfer_ohm"]
			switch v := m.Fit.ChargeTransfer; {
			case !v.Known() && q != nil:
				t.Errorf("%s %d: a resistance that was not had is %v", c.Name, k, q)
			case v.Known() && (q == nil || q.Value != v.Estimate() || q.Standard_Uncertainty != v.StandardUncertainty()):
				t.Errorf("%s %d: %v, want %v", c.Name, k, q, v)
			}
		}
		for k, want := range c.Criteria {
			q := got.Cells[i].Criteria[k]
			if known := !math.IsNaN(want.AcceptanceLimit); known != (q.Acceptance_Limit != nil) || known && *q.Acceptance_Limit != want.AcceptanceLimit {
				t.Errorf("%s %s: acceptance limit %v, want %v", c.Name, want.Quantity, q.Acceptance_Limit, want.AcceptanceLimit)
			}
		}
	}
}

// An uncertainty that nobody states is null and not zero, and no probability is made of it.
func TestResultsClaimNothingOfUnstatedUncertainties(t *testing.T) {
	type value struct{ Value, Standard_Uncertainty *float64 }
	var got struct {
		Cells []struct {
			Baseline     struct{ Capacity_Ah *value }
			Measurements []struct{ Capacity_Retention *value }
			Criteria     []struct {
				Quantity                                                                     string
				Value, Standard_Uncertainty, Expanded_Uncertainty, Probability_Of_Conformity *float64
			}
		}
	}
	if err := json.Unmarshal(results(t, full()), &got); err != nil {
		t.Fatal(err)
	}
	seen := 0
	bare := func(v *value) {
		if v != nil {
			seen++
			if v.Value == nil || v.Standard_Uncertainty != nil {
				t.Errorf("%+v", v)
			}
		}
	}
	for _, c := range got.Cells {
		bare(c.Baseline.Capacity_Ah)
		for _, m := range c.Measurements {
			bare(m.Capacity_Retention)
		}
		for _, k := range c.Criteria {
			if k.Quantity != string(job.CapacityRetention) || k.Value == nil {
				continue
			}
			seen++
			if k.Standard_Uncertainty != nil || k.Expanded_Uncertainty != nil || k.Probability_Of_Conformity != nil {
				t.Errorf("criterion claims what nobody states: %+v", k)
			}
		}
	}
	if seen < 3 {
		t.Errorf("only %d values seen", seen)
	}
}

// TestResultsGiveReasons: what is null has a reason beside it (the contract's "null with a reason").
func TestResultsGiveReasons(t *testing.T) {
	for name, a := range map[string]*health.Assessment{"full": full(), "bare": bare(), "empty": specimen.Empty()} {
		var got struct {
			Cells []struct {
				Measurements []map[string]any
			}
		}
		if err := json.Unmarshal(results(t, a), &got); err != nil {
			t.Fatal(err)
		}
		for _, c := range got.Cells {
			for i, m := range c.Measurements {
				checkReasons(t, name, i, m)
			}
		}
	}
}

func checkReasons(t *testing.T, name string, i int, m map[string]any) {
	given := map[string]bool{}
	for _, entry := range m["not_evaluated"].([]any) {
		given[entry.(map[string]any)["quantity"].(string)] = true
	}
	growth, reference := m["growth"].(map[string]any), m["at_reference_temperature"].(map[string]any)
	for quantity, value := range map[string]any{
		"ohmic_growth": growth["ohmic"], "charge_transfer_growth": growth["charge_transfer"], "total_resistance_growth": growth["total_resistance"],
		"ohmic_ohm": reference["ohmic_ohm"], "charge_transfer_ohm": reference["charge_transfer_ohm"], "ac_resistance_1khz_ohm": m["ac_resistance_1khz_ohm"],
		"capacity_retention": m["capacity_retention"], "resistance_state_of_health": m["resistance_state_of_health"],
	} {
		if (value == nil) != given[quantity] {
			t.Errorf("%s %d: %s is %v and has a reason: %v", name, i, quantity, value, given[quantity])
		}
	}
}

func TestResultsSameBytes(t *testing.T) {
	first := results(t, full())
	for range 3 {
		if !bytes.Equal(first, results(t, full())) {
			t.Fatal("the same assessment gave other bytes")
		}
	}
}

func TestResultsHostileText(t *testing.T) {
	a := specimen.Empty()
	hostile := "</script>\x00\u202e\"\\\n\xff😀"
	a.Cells.At(0).Name, a.Job.Report.Remarks = hostile, hostile
	var got struct {
		Cells  []struct{ Cell string }
		Report struct{ Remarks string }
	}
	if err := json.Unmarshal(results(t, a), &got); err != nil {
		t.Fatal(err)
	}
	want := strings.ToValidUTF8(hostile, "\ufffd")
	if !reflect.DeepEqual([]string{got.Cells[0].Cell, got.Report.Remarks}, []string{want, want}) {
		t.Errorf("%q, want %q twice", got, want)
	}
}

func TestResultsStopAtTheFirstFault(t *testing.T) {
	if err := report.WriteResults(brokenDisk{}, document(t, full())); err == nil {
		t.Error("a full disk went unnoticed")
	}
}

type brokenDisk struct{}

func (brokenDisk) Write([]byte) (int, error) { return 0, os.ErrClosed }

func BenchmarkResults(b *testing.B) {
	d := document(b, specimen.Lot(2500, 8))
	b.ReportAllocs()
	for b.Loop() {
		w := new(counter)
		if err := report.WriteResults(w, d); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(*w)/20000, "B/measurement")
	}
}

type counter int

func (c *counter) Write(p []byte) (int, error) { *c += counter(len(p)); return len(p), nil }
