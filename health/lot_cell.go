package health

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// LotCell is what the statements about a lot need to know of one cell. It is small, so that the cell itself may be forgotten, and
// complete, so that lots judged in parts can be put together.
type LotCell struct {
	Name       string
	Group      string // what the job's group_by column has for the measurement that is judged; empty where the job has no group_by
	Verdict    Verdict
	Grade      string
	Values     []QuantityValue // in the order of LotQuantities
	Findings   []string        // codes of what was found about the measurement that is judged
	Departures []Departure     // from the reference cells
}

// QuantityValue is a quantity of a cell at the measurement that is judged.
type QuantityValue struct {
	Quantity job.Quantity
	Value    fit.Value // in the quantity's unit; not known where Because says why
	// Own is the part of the standard uncertainty that the cell does not share with the others of its lot, in the unit of the
	// value: the instrument's scale, say, moves all cells alike and spreads none of them. NaN where there is no value.
	Own     float64
	Because Statement
}

// LotQuantities are the quantities that a limit, a grade or the grouping of a job names, in the order in which reports show them.
func LotQuantities(j *job.Job) (named []job.Quantity) {
	limits := slices.Clone(j.Limits)
	for _, g := range j.Grades {
		limits = append(limits, g.Limits...)
	}
	for _, q := range job.Quantities {
		grouped := j.Grouping != nil && slices.Contains(j.Grouping.By, q)
		if grouped || slices.ContainsFunc(limits, func(l job.Limit) bool { return l.Quantity == q }) {
			named = append(named, q)
		}
	}
	return named
}

// LotCellOf takes from a cell what its lot needs.
func LotCellOf(j *job.Job, c *Cell) LotCell {
	l := LotCell{Name: c.Name, Verdict: c.Verdict, Grade: c.Grade, Values: c.Values, Departures: c.Departures}
	judged := c.Latest
	if judged < 0 {
		judged = len(c.Measurements) - 1
	}
	if judged < 0 {
		return l
	}
	m := &c.Measurements[judged]
	if j.GroupBy != "" {
		l.Group = entryOf(m.Row, j.GroupBy)
	}
	for _, f := range m.Quality.Findings {
		if !slices.Contains(l.Findings, f.Code) {
			l.Findings = append(l.Findings, f.Code)
		}
	}
	return l
}

// commonSources are the lines of an uncertainty budget that move all cells of a job alike.
var commonSources = []string{
	instrumentScale, circuitMisfit, fixtureEffect, offLine,
	"activation energy", "declared baseline", "spread of the reference cells", "mean of the reference cells",
}

// ofAllCells reports whether a line of a budget moves all cells alike. A temperature that is not corrected counts with them:
// cells that are measured in one room are off by much the same, and their spread would show it if they were not.
func ofAllCells(source string) bool {
	return slices.Contains(commonSources, source) || strings.HasPrefix(source, "temperature, not corrected")
}

// ownPart is the standard uncertainty without what a budget has in common with other cells.
func ownPart(u float64, budget []Contribution) float64 {
	share := 1.0
	for _, c := range budget {
		if ofAllCells(c.Source) {
			share -= c.Share
		}
	}
	return u * math.Sqrt(max(0, share))
}

// entries are how the known columns of the measurement table read as text.
var entries = map[string]func(m *job.Measurement) string{
	"cell":                      func(m *job.Measurement) string { return m.Cell },
	"file":                      func(m *job.Measurement) string { return m.File },
	"measured_at":               func(m *job.Measurement) string { return m.MeasuredAt.Format(time.DateOnly) },
	"temperature_c":             func(m *job.Measurement) string { return numeral(&m.TemperatureC) },
	"temperature_uncertainty_c": func(m *job.Measurement) string { return numeral(&m.TemperatureUncertaintyC) },
	"soc_percent":               func(m *job.Measurement) string { return numeral(m.SOCPercent) },
	"cycles":                    func(m *job.Measurement) string { return numeral(m.Cycles) },
	"throughput_ah":             func(m *job.Measurement) string { return numeral(m.ThroughputAh) },
	"capacity_ah":               func(m *job.Measurement) string { return numeral(m.CapacityAh) },
	"sensing":                   func(m *job.Measurement) string { return m.Sensing },
	"control":                   func(m *job.Measurement) string { return m.Control },
	"amplitude_a":               func(m *job.Measurement) string { return numeral(m.AmplitudeA) },
	"amplitude_v":               func(m *job.Measurement) string { return numeral(m.AmplitudeV) },
	"rest_minutes":              func(m *job.Measurement) string { return numeral(m.RestMinutes) },
	"ocv_before_v":              func(m *job.Measurement) string { return numeral(m.OCVBeforeV) },
	"ocv_after_v":               func(m *job.Measurement) string { return numeral(m.OCVAfterV) },
	"instrument":                func(m *job.Measurement) string { return m.Instrument },
	"fixture":                   func(m *job.Measurement) string { return m.Fixture },
	"operator":                  func(m *job.Measurement) string { return m.Operator },
	"remarks":                   func(m *job.Measurement) string { return m.Remarks },
	"accept":                    func(m *job.Measurement) string { return m.Accept },
}

// entryOf is a row's entry in a column of the table, known or not.
func entryOf(m *job.Measurement, column string) string {
	if read, known := entries[column]; known {
		return read(m)
	}
	return m.Extra[column]
}

func numeral(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'g', -1, 64)
}
