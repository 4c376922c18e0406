package pdf

import (
	"slices"
	"strings"

	"ohmledger/health"
)

// The front page gives mostAdvice pieces of advice, each with the names of mostNamed cells.
const (
	mostAdvice = 8
	mostNamed  = 10
)

// advice is what to do about cells of one verdict. Cells that passed have one where the checks warn of their measurement.
type advice struct {
	Verdict health.Verdict
	Advice  string // of the gravest finding; blank: none
	Warning string // what that finding saw
	finding health.Finding
	Close   bool     // they fail by the guard band alone
	Names   []string // of the cells
	Cells   string   // the names as a sentence has them
	Count   int
}

// next says what to do about the cells that did not pass, or that passed with a warning.
func (c *composition) next() {
	list := advised(c.doc.Assessment)
	var points []string
	for _, a := range list[:min(len(list), mostAdvice)] {
		a.Cells, a.Count = c.named(a.Names), len(a.Names)
		if a.Advice != "" {
			a.Advice = c.adviceOn(a.finding)
		}
		a.Warning = c.sight(a.finding)
		points = append(points, c.say("next."+verdictKey(a.Verdict), a))
	}
	if len(list) > mostAdvice {
		points = append(points, c.say("next.more", nil))
	}
	if len(points) == 0 && c.doc.Assessment.Cells.Len() > 0 {
		points = []string{c.say("next.none", nil)}
	}
	c.space(module)
	c.bullets(item{c.label("next"), c.sheet.sideHead, 0}, sideHead, points, c.sheet.note)
}

// advised gathers cells for which the same is to be done, in the order of the first of them.
func advised(a *health.Assessment) []advice {
	var list []advice
	for i := range a.Cells.Len() {
		cell := a.Cells.At(i)
		if cell.Verdict == health.Pass && foremost(cell) == "" {
			continue
		}
		what, close := foremost(cell), failsClosely(cell)
		at := slices.IndexFunc(list, func(a advice) bool { return a.Verdict == cell.Verdict && a.Advice == what && a.Close == close })
		if at < 0 {
			at, list = len(list), append(list, advice{Verdict: cell.Verdict, Advice: what, finding: foremostFinding(cell), Close: close})
		}
		list[at].Names = append(list[at].Names, cell.Name)
	}
	return list
}

// failsClosely reports whether a cell fails though each of its values meets its limit: by less than the
// guard band.
func failsClosely(cell *health.Cell) bool {
	failed := false
	for _, k := range cell.Criteria {
		if k.Verdict == health.Fail {
			failed = true
			if !(k.ProbabilityOfConformity >= 0.5) {
				return false
			}
		}
	}
	return failed
}

// named lists the first names and counts the rest.
func (c *composition) named(names []string) string {
	more := len(names) - mostNamed
	shown := make([]string, 0, mostNamed)
	for _, n := range names[:min(len(names), mostNamed)] {
		shown = append(shown, c.literally(n))
	}
	return c.say("names", struct {
		Names []string
		More  int
	}{shown, max(0, more)})
}

// foremost is the advice of the gravest finding about a cell's last measurement, blank where none is
// grave enough to bear on the verdict.
func foremost(cell *health.Cell) string {
	if f := foremostFinding(cell); f.Severity >= health.Warning {
		return f.Advice
	}
	return ""
}

// foremostFinding is the gravest about a cell's last measurement; zero where there is none.
func foremostFinding(cell *health.Cell) (gravest health.Finding) {
	if len(cell.Measurements) == 0 {
		return gravest
	}
	for _, f := range cell.Measurements[len(cell.Measurements)-1].Quality.Findings {
		if f.Severity > gravest.Severity {
			gravest = f
		}
	}
	return gravest
}

// verdictKey is a verdict as it stands in the names of blocks.
func verdictKey(v health.Verdict) string { return strings.ReplaceAll(v.String(), " ", "-") }
