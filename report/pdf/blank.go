package pdf

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// outside prepares a text of the job for the page: marked where it is blank.
func (c *composition) outside(text string) string {
	if strings.TrimSpace(text) == "" {
		return c.notStated()
	}
	return c.literally(text)
}

// notStated stands where the job leaves something blank: a report invents nothing.
func (c *composition) notStated() string { return c.label("not-stated") }

// day writes a date of the job.
func (c *composition) day(t time.Time) string {
	if t.IsZero() {
		return c.notStated()
	}
	return c.numbers.Date(t)
}

// lines joins what is not blank of several texts of the job; all blank is not stated.
func (c *composition) joined(texts ...string) string {
	var given []string
	for _, t := range texts {
		if strings.TrimSpace(t) != "" {
			given = append(given, c.literally(t))
		}
	}
	if len(given) == 0 {
		return c.notStated()
	}
	return strings.Join(given, "\n")
}

// capitalised begins a text with a capital letter, as the first word of a line.
func capitalised(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return text
	}
	return string(unicode.ToUpper(first)) + text[size:]
}
