package figure

import (
	"time"

	"gonum.org/v1/plot"

	"ohmledger/report/notation"
)

// onAxis is an instant in days since 1970, and instant its inverse.
func onAxis(t time.Time) float64 { return float64(t.Unix()) / secondsPerDay }

func instant(days float64) time.Time { return time.Unix(int64(days*secondsPerDay), 0).UTC() }

const secondsPerDay = 86400.

// calendar is a step of dates: its size in days to choose by, the step in calendar units, how a date is
// written at it and the step of the plain ticks between.
type calendar struct {
	days                  float64
	years, months, inDays int
	hours                 int
	layout                string
	minor                 *calendar
}

// The layouts are those of ISO 8601; a language has its own for them.
var (
	hourly    = calendar{days: 1. / 24, hours: 1, layout: "15:04"}
	daily     = calendar{days: 1, inDays: 1, layout: time.DateOnly}
	monthly   = calendar{days: 30.4, months: 1, layout: notation.ISOMonth}
	quarterly = calendar{days: 91.3, months: 3, layout: notation.ISOMonth}
	yearly    = calendar{days: 365.25, years: 1, layout: "2006"}

	calendars = []calendar{
		hourly,
		{days: 3. / 24, hours: 3, layout: "15:04", minor: &hourly},
		{days: 6. / 24, hours: 6, layout: notation.MonthDayHour, minor: &hourly},
		daily,
		{days: 2, inDays: 2, layout: time.DateOnly, minor: &daily},
		{days: 7, inDays: 7, layout: time.DateOnly, minor: &daily},
		{days: 14, inDays: 14, layout: time.DateOnly, minor: &daily},
		{days: 30.4, months: 1, layout: notation.ISOMonth},
		{days: 60.9, months: 2, layout: notation.ISOMonth, minor: &monthly},
		{days: 91.3, months: 3, layout: notation.ISOMonth, minor: &monthly},
		{days: 182.6, months: 6, layout: notation.ISOMonth, minor: &monthly},
		{days: 365.25, years: 1, layout: "2006", minor: &quarterly},
		{days: 730.5, years: 2, layout: "2006", minor: &yearly},
		{days: 1826.25, years: 5, layout: "2006", minor: &yearly},
		{days: 3652.5, years: 10, layout: "2006", minor: &yearly},
		{days: 18262.5, years: 50, layout: "2006"},
		{days: 36525, years: 100, layout: "2006"},
	}
)

// dates ticks an axis of days since 1970, with at most so many labels.
type dates struct {
	most     int
	notation notation.Notation
}

// Ticks implements plot.Ticker.
func (d dates) Ticks(low, high float64) []plot.Tick {
	chosen := calendars[len(calendars)-1]
	for _, c := range calendars {
		if (high-low)/c.days <= float64(max(d.most, 1)) {
			chosen = c
			break
		}
	}
	ticks := chosen.ticks(low, high)
	for i := range ticks {
		ticks[i].Label = d.notation.Moment(instant(ticks[i].Value), chosen.layout)
	}
	if chosen.minor != nil {
		ticks = append(ticks, chosen.minor.ticks(low, high)...)
	}
	return ticks
}

// ticks are the calendar's dates from low to high.
func (c calendar) ticks(low, high float64) []plot.Tick {
	var ticks []plot.Tick
	for t := c.before(instant(low)); onAxis(t) <= high && len(ticks) < maxTicks; t = c.after(t) {
		if v := onAxis(t); v >= low {
			ticks = append(ticks, plot.Tick{Value: v})
		}
	}
	return ticks
}

// before is the last date of the calendar at or before t.
func (c calendar) before(t time.Time) time.Time {
	y, m, d := t.Date()
	switch {
	case c.years > 0:
		return time.Date(y-((y%c.years)+c.years)%c.years, 1, 1, 0, 0, 0, 0, time.UTC)
	case c.months > 0:
		return time.Date(y, m-(m-1)%time.Month(c.months), 1, 0, 0, 0, 0, time.UTC)
	case c.inDays > 0:
		return time.Date(y, m, d-c.weekdays(t), 0, 0, 0, 0, time.UTC)
	}
	return time.Date(y, m, d, t.Hour()-t.Hour()%c.hours, 0, 0, 0, time.UTC)
}

// weekdays is how many days lie between the last date of a calendar of weeks, a Monday, and t.
func (c calendar) weekdays(t time.Time) int {
	if c.inDays%7 != 0 {
		return 0
	}
	return (int(t.Weekday()) + 6) % 7
}

func (c calendar) after(t time.Time) time.Time {
	return t.AddDate(c.years, c.months, c.inDays).Add(time.Duration(c.hours) * time.Hour)
}
