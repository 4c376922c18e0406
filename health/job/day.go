package job

import (
	"fmt"
	"regexp"
	"time"
)

// day is a date, or a date with time of day and offset.
type day struct{}

func (day) read(into *time.Time, at place, r *reading) {
	written, ok := one(at, r, dateForms)
	if !ok {
		return
	}
	date, _, fault := parseDate(written)
	if fault != "" {
		r.refuse(at, "", "%s", fault)
		return
	}
	*into = date
}

// dateForms is how a date may be written.
const dateForms = "a date as 2026-03-14, or with time of day as 2026-03-14T09:30:00Z or 2026-03-14T09:30:00+01:00"

// Dates outside these years are slips, or the zero of some clock (1970, 1980): the cells that are judged here were not sold before them.
const firstYear, lastYear = 1990, 2100

var (
	dateAlone = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)
	timeOnly  = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?$`)
)

// parseDate reads a date (ISO 8601 calendar date) or a date with time (RFC 3339). A date alone is that
// day's beginning in UTC; a time keeps the offset that it is written with, whatever zone the machine is in.
func parseDate(written string) (date time.Time, hasTime bool, fault string) {
	layout := time.RFC3339Nano
	if dateAlone.MatchString(written) {
		layout = time.DateOnly
	}
	date, err := time.Parse(layout, written)
	switch {
	case err != nil && timeOnly.MatchString(written):
		return time.Time{}, false, fmt.Sprintf("%s does not say in which time zone; allowed: %s", quote(written), dateForms)
	case err != nil && dateAlone.MatchString(written):
		return time.Time{}, false, fmt.Sprintf("%s is no day of the calendar; allowed: %s", quote(written), dateForms)
	case err != nil:
		return time.Time{}, false, fmt.Sprintf("%s is no date; allowed: %s", quote(written), dateForms)
	case date.Year() < firstYear || date.Year() > lastYear:
		return time.Time{}, false, fmt.Sprintf("%s is out of range; allowed: years %d to %d", quote(written), firstYear, lastYear)
	}
	return fixed(date), layout != time.DateOnly, ""
}

// fixed takes the machine's zone out of a date: time.Parse puts it in where the offsets agree.
func fixed(date time.Time) time.Time {
	_, offset := date.Zone()
	if offset == 0 {
		return date.UTC()
	}
	return date.In(time.FixedZone("", offset))
}

// dayOf is the calendar day that a date was written with.
func dayOf(date time.Time) string { return date.Format(time.DateOnly) }
