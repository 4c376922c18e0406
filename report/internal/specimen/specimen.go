// Package specimen has what the tests of every format write: measured cells (Open), and an invented assessment of six cells over two
// years, or a lot of any size, with spectra computed from the circuit.
package specimen

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// Rules are the three decision rules.
var Rules = []job.DecisionRule{
	{Kind: job.Simple, CoverageFactor: 2}, {Kind: job.Guarded, CoverageFactor: 2}, {Kind: job.FourWay, CoverageFactor: 2},
}

// Assessment is that of six cells with seven measurements each: cells that pass, pass or fail within
// the uncertainty, fail, and cannot be evaluated; one measurement is two-wire, one rejected, one
// spectrum cannot be fitted, and some have capacities.
func Assessment(rule job.DecisionRule) *health.Assessment { return AssessmentWith(rule, 1) }

// AssessmentWith is the same judged against limits so many times as large.
func AssessmentWith(rule job.DecisionRule, times float64) *health.Assessment {
	j := invented(rule)
	for i := range j.Limits {
		j.Limits[i].Bound *= times
	}
	courses := []course{
		{name: "LH-101", growth: 1.35, film: true, capacity: 0.93},
		{name: "LH-102", growth: 1.90, capacity: 0.86},
		{name: "LH-103", growth: 1.97, twoWire: 4},
		{name: "LH-104", growth: 2.04, capacity: 0.81},
		{name: "LH-105", growth: 2.75, rejected: 3, capacity: 0.74},
		{name: "=LH+106", growth: 1.2, hot: true, unfitted: 2},
	}
	return assess(j, courses, 7)
}

// Lot is the assessment of many cells, each with so many measurements.
func Lot(cells, measurements int) *health.Assessment {
	j := invented(Rules[1])
	j.Grades = []job.Grade{{Name: "A", Limits: j.Limits[:1]}}
	courses := make([]course, cells)
	for i := range courses {
		courses[i] = course{name: fmt.Sprintf("LOT-%05d", i+1), growth: 1.2 + 0.9*math.Mod(float64(i)*0.618034, 1), capacity: 0.9}
	}
	return assess(j, courses, measurements)
}

// Empty is the assessment of one cell with one measurement of which nothing could be had.
func Empty() *health.Assessment {
	j := &job.Job{Language: "en", DecisionRule: Rules[1], Limits: []job.Limit{{Quantity: job.OhmicGrowth, Side: job.Max, Bound: 1.5}}}
	row := job.Measurement{Cell: "1", File: "spectra/1.csv", MeasuredAt: start, TemperatureC: 25, TemperatureUncertaintyC: 0.5}
	cell := health.Cell{Name: "1", Latest: -1, Measurements: []health.Measurement{{Row: &row}},
		Criteria: []health.Criterion{notEvaluated(j.Limits[0], "there is no baseline")}}
	return &health.Assessment{Job: j, Cells: health.CellsOf([]health.Cell{cell}), Counts: health.Counts{NotEvaluated: 1}}
}

var start = time.Date(2024, 3, 4, 9, 30, 0, 0, time.UTC)

func pointer(x float64) *float64 { return &x }

func invented(rule job.DecisionRule) *job.Job {
	return &job.Job{
		Report: job.Report{Number: "LH-2026-007", Title: "State of health of ferry cells", Item: "Six cylindrical cells out of one module, undamaged",
			Customer: job.Customer{Name: "Lantern Hill Ferries", Address: "1 Slipway, Lantern Hill", Reference: "PO 118"},
			Issued:   time.Date(2026, 3, 20, 0, 0, 0, 0, time.UTC), Received: time.Date(2024, 3, 1, 0, 0, 0, 0, time.UTC),
			Tested: "2024-03-04 to 2026-03-14", Remarks: "=1+1", PreparedBy: "A. Brook", AuthorisedBy: "M. Fell"},
		Laboratory:            job.Laboratory{Name: "Weir Street Cell Laboratory", Address: "4 Weir Street", Contact: "bench@weirstreet.example"},
		Cell:                  job.CellType{Maker: "(invented)", Model: "LH-21", Chemistry: "NMC/graphite", Format: "21700", NominalCapacityAh: 4.8, NominalVoltageV: 3.6},
		Conditions:            job.Conditions{ReferenceTemperatureC: 25, TemperatureMinC: 15, TemperatureMaxC: 35, TemperatureUncertaintyC: 0.5, SOCPercent: pointer(50), SOCTolerancePercent: 5, MinRestMinutes: 30},
		Instrument:            job.Instrument{Name: "bench 2", CalibrationDue: time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC), RelativeUncertainty: 0.002, AbsoluteUncertaintyOhm: 2e-5},
		Baseline:              job.Baseline{Source: job.First},
		TemperatureCorrection: job.TemperatureCorrection{Source: job.CorrectionDeclared, Ohmic: &job.Stated{Value: 12, StandardUncertainty: 2}, ChargeTransfer: &job.Stated{Value: 52, StandardUncertainty: 3}},
		Limits: []job.Limit{
			{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 2},
			{Quantity: job.OhmicGrowth, Side: job.Max, Bound: 1.5},
			{Quantity: job.OhmicOhm, Side: job.Max, Bound: 0.030},
			{Quantity: job.CapacityRetention, Side: job.Min, Bound: 0.80},
			{Quantity: job.ACResistance1kHzOhm, Side: job.Max, Bound: 0.035},
			{Quantity: job.ResistanceStateOfHealth, Side: job.Min, Bound: 0.05},
		},
		DecisionRule: rule,
		Grades: []job.Grade{
			{Name: "A", Limits: []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 1.5}}},
			{Name: "B", Limits: []job.Limit{{Quantity: job.ChargeTransferGrowth, Side: job.Max, Bound: 2}}},
		},
		GroupBy: "module", Language: "en", Table: "measurements.csv",
		ExtraColumns: []string{"module", "shelf"}, Defaulted: []string{"conditions.min_rest_minutes"},
		Sources: []job.Source{{File: "job.yaml", SHA256: digest("job.yaml"), Bytes: 1812}, {File: "measurements.csv", SHA256: digest("measurements.csv"), Bytes: 4711}},
	}
}

// assess judges courses of cells, each with so many measurements over two years.
func assess(j *job.Job, courses []course, measurements int) *health.Assessment {
	a := &health.Assessment{
		Job: j, Verdict: health.Pass,
		Temperature: health.Temperature{Source: job.CorrectionDeclared, Ohmic: fit.NewValue(12, 2), ChargeTransfer: fit.NewValue(52, 3),
			Note: "Activation energies are the customer's."},
		Doubts: []fit.Doubt{{Code: "rest-unknown", Text: "The rest before some sweeps is not recorded."}},
	}
	cells := make([]health.Cell, len(courses))
	a.Cells = health.CellsOf(cells)
	for i, course := range courses {
		cell := course.cell(j, i, measurements)
		cells[i] = cell
		a.Verdict = graver(a.Verdict, cell.Verdict)
		count(&a.Counts, cell.Verdict)
	}
	return a
}

// graver is the verdict that decides over the other: a failure first, then what could not be evaluated.
func graver(a, b health.Verdict) health.Verdict {
	gravity := []health.Verdict{health.Pass, health.ConditionalPass, health.ConditionalFail, health.NotEvaluated, health.Fail}
	return gravity[max(slices.Index(gravity, a), slices.Index(gravity, b))]
}

func count(c *health.Counts, v health.Verdict) {
	*map[health.Verdict]*int{health.Pass: &c.Pass, health.ConditionalPass: &c.ConditionalPass,
		health.ConditionalFail: &c.ConditionalFail, health.Fail: &c.Fail, health.NotEvaluated: &c.NotEvaluated}[v]++
}
