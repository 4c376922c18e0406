package job

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ohmledger/fit/spectrum"
)

// reader reads a cell into a measurement. A fault is in words, with what to do about it; both are empty where all is well.
type reader = func(m *Measurement, c spectrum.Cell, n spectrum.Numbers) (fault, remedy string)

// column is a column of the measurement table that has a meaning.
type column struct {
	name   string
	needed bool
	number bool // holds numbers, so it counts for the decimal sign
	read   reader
}

// columns is the table of the measurement table.
var columns = []column{
	{name: "cell", needed: true, read: words(func(m *Measurement) *string { return &m.Cell })},
	{name: "file", needed: true, read: readPath},
	{name: "measured_at", needed: true, read: readTime},
	{name: "temperature_c", needed: true, number: true, read: quantity(func(m *Measurement) *float64 { return &m.TemperatureC }, temperature)},
	{name: "temperature_uncertainty_c", number: true,
		read: quantity(func(m *Measurement) *float64 { return &m.TemperatureUncertaintyC }, number{0, 50, false, celsius, nil})},
	// A counter may run a little past full or empty.
	{name: "soc_percent", number: true, read: maybe(func(m *Measurement) **float64 { return &m.SOCPercent }, number{-10, 110, false, "in percent", nil})},
	{name: "cycles", number: true, read: maybe(func(m *Measurement) **float64 { return &m.Cycles }, number{0, 1e7, false, "in full cycles", nil})},
	{name: "throughput_ah", number: true, read: maybe(func(m *Measurement) **float64 { return &m.ThroughputAh }, number{0, 1e12, false, "in ampere-hours", nil})},
	{name: "capacity_ah", number: true, read: maybe(func(m *Measurement) **float64 { return &m.CapacityAh }, number{0, 100_000, true, "in ampere-hours", nil})},
	{name: "sensing", read: oneOf(func(m *Measurement) *string { return &m.Sensing }, "2-wire", "4-wire")},
	{name: "control", read: oneOf(func(m *Measurement) *string { return &m.Control }, "galvanostatic", "potentiostatic")},
	{name: "amplitude_a", number: true, read: maybe(func(m *Measurement) **float64 { return &m.AmplitudeA }, number{0, 100_000, true, "in amperes rms", nil})},
	{name: "amplitude_v", number: true, read: maybe(func(m *Measurement) **float64 { return &m.AmplitudeV }, number{0, 10_000, true, "in volts rms", nil})},
	{name: "rest_minutes", number: true, read: maybe(func(m *Measurement) **float64 { return &m.RestMinutes }, number{0, 1e7, false, "in minutes", nil})},
	{name: "ocv_before_v", number: true, read: maybe(func(m *Measurement) **float64 { return &m.OCVBeforeV }, number{-10_000, 10_000, false, "in volts", nil})},
	{name: "ocv_after_v", number: true, read: maybe(func(m *Measurement) **float64 { return &m.OCVAfterV }, number{-10_000, 10_000, false, "in volts", nil})},
	{name: "instrument", read: words(func(m *Measurement) *string { return &m.Instrument })},
	{name: "fixture", read: words(func(m *Measurement) *string { return &m.Fixture })},
	{name: "operator", read: words(func(m *Measurement) *string { return &m.Operator })},
	{name: "remarks", read: words(func(m *Measurement) *string { return &m.Remarks })},
	{name: "accept", read: readReason},
}

func columnNames() []string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	return names
}

// words reads any text.
func words(field func(*Measurement) *string) reader {
	return func(m *Measurement, c spectrum.Cell, _ spectrum.Numbers) (fault, remedy string) {
		*field(m) = c.Text
		return "", ""
	}
}

// quantity reads a number within bounds.
func quantity(field func(*Measurement) *float64, bound number) reader {
	return func(m *Measurement, c spectrum.Cell, n spectrum.Numbers) (fault, remedy string) {
		value, err := n.Parse(c)
		switch {
		case err != nil && withUnit.MatchString(c.Text) && !decimal.MatchString(c.Text) && !otherBase.MatchString(c.Text):
			return quote(c.Text) + " holds more than a number; the header already gives the unit", "write the number alone, " + bound.unit
		case err != nil:
			return err.Error(), ""
		case !bound.holds(value):
			return figures(c.Text) + " is " + bound.beyond(), ""
		}
		*field(m) = value + 0 // −0 becomes 0
		return "", ""
	}
}

// maybe reads a number that a blank leaves out.
func maybe(field func(*Measurement) **float64, bound number) reader {
	return func(m *Measurement, c spectrum.Cell, n spectrum.Numbers) (fault, remedy string) {
		value := new(float64)
		*field(m) = value
		fault, remedy = quantity(func(*Measurement) *float64 { return value }, bound)(m, c, n)
		_, err := n.Parse(c)
		if fault != "" && (err == nil || !strings.ContainsAny(c.Text, "0123456789")) {
			remedy = "leave it blank where it was not measured"
		}
		return fault, remedy
	}
}

// oneOf reads one of a few words, in any case.
func oneOf(field func(*Measurement) *string, allowed ...string) reader {
	return func(m *Measurement, c spectrum.Cell, _ spectrum.Numbers) (fault, remedy string) {
		at := slices.IndexFunc(allowed, func(word string) bool { return strings.EqualFold(word, c.Text) })
		if at < 0 {
			return fmt.Sprintf("%s is not known; allowed: %s or blank", quote(c.Text), strings.Join(allowed, ", ")), didYouMean(c.Text, allowed)
		}
		*field(m) = allowed[at]
		return "", ""
	}
}

func readPath(m *Measurement, c spectrum.Cell, _ spectrum.Numbers) (fault, remedy string) {
	m.File, fault, remedy = inside(c.Text)
	return fault, remedy
}

func readTime(m *Measurement, c spectrum.Cell, _ spectrum.Numbers) (fault, remedy string) {
	if c.Kind == spectrum.Number {
		return fmt.Sprintf("the plain number %s; allowed: a cell formatted as a date, or %s", c.Text, dateForms), ""
	}
	if date, ok := c.Date(); ok {
		m.MeasuredAt, m.HasTime = date, strings.Contains(c.Text, "T")
		return impossibleYear(date), ""
	}
	m.MeasuredAt, m.HasTime, fault = parseDate(c.Text)
	return fault, ""
}

func impossibleYear(date time.Time) string {
	if date.Year() < firstYear || date.Year() > lastYear {
		return fmt.Sprintf("%s is out of range; allowed: years %d to %d", dayOf(date), firstYear, lastYear)
	}
	return ""
}

// noReasons are answers, not reasons. "no" would accept what it means to reject.
var noReasons = []string{"yes", "no", "y", "n", "true", "false", "x", "ok", "0", "1", "-", "ja", "nein"}

func readReason(m *Measurement, c spectrum.Cell, _ spectrum.Numbers) (fault, remedy string) {
	if slices.Contains(noReasons, strings.ToLower(c.Text)) {
		return quote(c.Text) + " is no reason; the report prints why a rejected spectrum counts after all", "write the reason, or leave it blank where a rejected spectrum is not to count"
	}
	m.Accept = c.Text
	return "", ""
}
