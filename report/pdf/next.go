package pdf

import (
	"slices"
	"strings"
	"time"

	"ohmledger/health"
)

// The front page gives mostAdvice pieces of advice, each with the names of mostNamed cells.
const (
	mostAdvice = 8
	mostNamed  = 10
)

// advice is what to do about cells of one verdict. Cells that passed have one where the checks warn of their measurement, and
// another where they reject a later one.
type advice struct {
	Verdict health.Verdict
	Advice  string // of the gravest finding; blank: none
	Warning string // what that finding saw
	finding health.Finding
	others  []health.Finding // further warnings of the judged measurements, each kind once
	Other   string           // what the one saw, where there is one kind
	More    int              // how many kinds there are, where there are more
	Later   bool             // the finding is that of a later measurement than the judged one, which is rejected
	On      string           // the day of that, where it is one
	day     time.Time
	Close   bool     // they fail where the limit lies within the coverage interval
	Names   []string // of the cells
	Cells   string   // the names as a sentence has them
	Count   int
}

// next says what to do about the cells that did not pass, or that passed with a warning.
func (c *composition) next() {
	c.space(module)
	c.bullets(item{c.label("next"), c.sheet.sideHead, 0}, sideHead, c.nextSteps(), c.sheet.note)
}

func (c *composition) nextSteps() (points []string) {
	list := advised(c.doc.Assessment)
	for _, a := range list[:min(len(list), mostAdvice)] {
		a.Cells, a.Count = c.named(a.Names), len(a.Names)
		if a.Advice != "" {
			a.Advice = c.adviceOn(a.finding)
		}
		a.Warning = c.sight(a.finding)
		if a.Later && a.Count == 1 {
			a.On = c.numbers.Date(a.day)
		}
		if a.More = len(a.others); a.More == 1 {
			a.Other, a.More = c.sight(a.others[0]), 0
		}
		points = append(points, c.say("next."+verdictKey(a.Verdict), a))
	}
	if len(list) > mostAdvice {
		points = append(points, c.say("next.more", nil))
	}
	if len(points) == 0 && c.doc.Assessment.Cells.Len() > 0 {
		points = []string{c.say("next.none", nil)}
	}
	return points
}

// advised gathers cells for which the same is to be done, in the order of the first of them.
func advised(a *health.Assessment) []advice {
	var list []advice
	for i := range a.Cells.Len() {
		for _, this := range advisedOn(a.Cells.At(i)) {
			at := slices.IndexFunc(list, func(a advice) bool {
				return a.Verdict == this.Verdict && a.Advice == this.Advice && a.Close == this.Close && a.Later == this.Later
			})
			if at < 0 {
				list = append(list, this)
				continue
			}
			list[at].Names = append(list[at].Names, this.Names...)
			list[at].others = eachKind(append(list[at].others, this.others...))
		}
	}
	return list
}

// advisedOn is what is to be done about one cell: of one that passed about its judged measurement and about a later one, each where
// the checks warn of it; of others about the last, which is to be repeated.
func advisedOn(cell *health.Cell) (list []advice) {
	about := func(m *health.Measurement, later bool) {
		f, others := findingsOf(m)
		a := advice{Verdict: cell.Verdict, finding: f, others: others, Later: later, Close: failsClosely(cell), Names: []string{cell.Name}}
		if f.Severity >= health.Warning {
			a.Advice = f.Advice
		}
		if m != nil {
			a.day = m.Row.MeasuredAt
		}
		if a.Advice != "" || cell.Verdict != health.Pass {
			list = append(list, a)
		}
	}
	last := len(cell.Measurements) - 1
	switch {
	case last < 0:
		about(nil, false)
	case cell.Verdict != health.Pass || cell.Latest == last:
		about(&cell.Measurements[last], false)
	default:
		about(latest(cell), false)
		about(&cell.Measurements[last], true)
	}
	return list
}

// findingsOf are the gravest finding about a measurement, zero where there is none, and one of each other kind that is a warning.
func findingsOf(m *health.Measurement) (gravest health.Finding, others []health.Finding) {
	if m == nil {
		return gravest, nil
	}
	for _, f := range m.Quality.Findings {
		if f.Severity > gravest.Severity {
			gravest = f
		}
	}
	for _, f := range m.Quality.Findings {
		if f.Severity == health.Warning && f.Code != gravest.Code {
			others = append(others, f)
		}
	}
	return gravest, eachKind(others)
}

// eachKind is the first of each kind of finding.
func eachKind(list []health.Finding) (kinds []health.Finding) {
	for _, f := range list {
		if !slices.ContainsFunc(kinds, func(k health.Finding) bool { return k.Code == f.Code }) {
			kinds = append(kinds, f)
		}
	}
	return kinds
}

// failsClosely reports whether a cell fails though the limit lies within the coverage interval of each value that fails, on whichever
// side of it the value is.
func failsClosely(cell *health.Cell) bool {
	failed := false
	for _, k := range cell.Criteria {
		if k.Verdict == health.Fail {
			failed = true
			if !(k.Lower <= k.Limit && k.Limit <= k.Upper) {
				return false
			}
		}
	}
	return failed
}

// named lists the first names and counts the rest.
func (c *composition) named(names []string) string {
	shown := make([]string, 0, mostNamed+1)
	for _, n := range names[:told(len(names), mostNamed)] {
		shown = append(shown, c.literally(n))
	}
	return c.say("names", struct {
		Names []string
		More  int
	}{shown, len(names) - len(shown)})
}

// verdictKey is a verdict as it stands in the names of blocks.
func verdictKey(v health.Verdict) string { return strings.ReplaceAll(v.String(), " ", "-") }
