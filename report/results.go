package report

import (
	"bufio"
	"encoding/json"
	"io"

	"ohmledger/health"
)

// ResultsSchema names the form of results.json; its JSON Schema is templates/schema/results.schema.json.
const ResultsSchema = "ohmledger/results/1"

// WriteResults writes results.json: every number as computed, resistances in ohm, null where there is
// none. Cells are written one by one, so that the file never stands in memory; a measurement, a
// criterion and a trend have a line each, so that two reports can be compared line by line.
func WriteResults(w io.Writer, d *Document) error {
	buffered := bufio.NewWriterSize(w, 1<<16)
	out := &layout{w: buffered}
	a := d.Assessment
	out.open("{")
	out.member("schema", ResultsSchema)
	out.member("tool", toolOf(d.Tool))
	out.member("report", reportOf(a.Job))
	out.member("laboratory", laboratoryOf(a.Job))
	out.member("verdict", a.Verdict.String())
	out.member("counts", countsOf(a.Counts))
	out.member("blank", listed(d.Blank))
	out.member("doubts", doubtsOf(a.Doubts))
	writeSettings(out, a.Job)
	out.member("temperature_correction", temperatureOf(a.Temperature))
	lines(out, "inputs", besideSpectra(d), inputOf)
	out.key("cells")
	out.open("[")
	for i := range a.Cells.Len() {
		writeCell(out, d, a.Cells.At(i))
	}
	out.close("]")
	if a.Lot != nil {
		writeLot(out, d.Words, a.Lot)
	}
	out.close("}")
	out.newline()
	if out.err != nil {
		return out.err
	}
	return buffered.Flush()
}

func writeCell(out *layout, d *Document, c *health.Cell) {
	out.element()
	out.open("{")
	out.member("cell", c.Name)
	out.member("verdict", c.Verdict.String())
	out.member("reason", optional(c.Reason))
	out.member("grade", optional(c.Grade))
	out.member("grading", gradingOf(c.Grading))
	out.member("model", modelOf(c))
	out.member("baseline", baselineOf(c))
	out.member("judged_measurement", indexOf(c.Latest, len(c.Measurements)))
	lines(out, "measurements", places(c.Measurements), func(i int) any { return measurementOf(d, c, i) })
	lines(out, "criteria", c.Criteria, func(k health.Criterion) any { return criterionOf(d.Assessment.Job, k) })
	lines(out, "trend", c.Trend, trendOf)
	lines(out, "quantities", c.Values, summedOf(d))
	lines(out, "departures", c.Departures, departureOf)
	out.close("}")
}

// layout writes JSON with a line for each member of the outer objects and everything inside on one line.
type layout struct {
	w     *bufio.Writer
	depth int
	first bool // nothing stands in the open object or array yet
	keyed bool // a key waits for its value
	err   error
}

func (l *layout) raw(s string) {
	if l.err == nil {
		_, l.err = l.w.WriteString(s)
	}
}

func (l *layout) newline() {
	l.raw("\n")
	for range l.depth {
		l.raw(" ")
	}
}

// element makes room for the next member or item.
func (l *layout) element() {
	if l.keyed {
		l.keyed = false
		return
	}
	if !l.first {
		l.raw(",")
	}
	l.first = false
	l.newline()
}

func (l *layout) open(bracket string) {
	l.keyed = false
	l.raw(bracket)
	l.depth++
	l.first = true
}

func (l *layout) close(bracket string) {
	l.depth--
	if !l.first {
		l.newline()
	}
	l.first = false
	l.raw(bracket)
}

func (l *layout) key(name string) {
	l.element()
	l.value(name)
	l.raw(": ")
	l.keyed = true
}

func (l *layout) member(name string, v any) {
	l.key(name)
	l.keyed = false
	l.value(v)
}

// value writes v on one line; what is written are plain structs, which cannot fail to marshal.
func (l *layout) value(v any) {
	if l.err != nil {
		return
	}
	e := json.NewEncoder(trimmed{l.w})
	e.SetEscapeHTML(false)
	l.err = e.Encode(v)
}

// lines writes a list with a line for each item.
func lines[T any](l *layout, name string, items []T, form func(T) any) {
	l.key(name)
	l.open("[")
	for _, item := range items {
		l.element()
		l.value(form(item))
	}
	l.close("]")
}

// trimmed drops the line end that an encoder writes after each value.
type trimmed struct{ w io.Writer }

func (t trimmed) Write(p []byte) (int, error) {
	n := len(p)
	if n > 0 && p[n-1] == '\n' {
		p = p[:n-1]
	}
	_, err := t.w.Write(p)
	return n, err
}
