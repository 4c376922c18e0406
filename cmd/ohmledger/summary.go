package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report"
	"ohmledger/report/notation"
	"ohmledger/templates"
)

// mostCells is how many cells are listed one by one; of a larger lot only those that did not pass are.
const mostCells = 20

// numbers are written as in English, like everything that the program says by itself.
var numbers = notation.NotationOf("en")

// english puts into words what the judgement says: the report has it in its own language, the program speaks English.
func english() (health.Phrase, error) {
	words, err := report.ReadWords(templates.FS(), "en", nil, "")
	if err != nil {
		return nil, err
	}
	return words.Phrase, nil
}

// tellFindings says what was found, and what the report lacks.
func (c *console) tellFindings(d *report.Document) error {
	say, err := english()
	if err != nil {
		return err
	}
	a := d.Assessment
	c.say("%s\n", legible(subject(a)))
	shown := listed(a.Cells)
	c.tellTable(a.Job, shown)
	if more := a.Cells.Len() - len(shown); more > 0 {
		c.say("and %s more, which the report lists", count(more, "cell", "cells"))
	}
	c.say("\n%s under %s%s", tally(a.Counts), rule(a.Job.DecisionRule), growth(a.Job.Limits))
	c.tellReasons(say, shown)
	c.say("")
	c.tellLot(say, a.Lot)
	c.tellQuality(say, a)
	for _, doubt := range a.Doubts {
		c.say("- %s", legible(say.Doubt(doubt)))
	}
	if len(d.Blank) > 0 {
		c.say("- job.yaml leaves blank what a report should state: %s.", strings.Join(d.Blank, ", "))
	}
	return nil
}

// subject is what was judged.
func subject(a *health.Assessment) string {
	spectra, first, last := 0, "", ""
	for _, cell := range a.Cells.All() {
		spectra += len(cell.Measurements)
		for _, m := range cell.Measurements {
			day := numbers.Date(m.Row.MeasuredAt)
			if first == "" || day < first {
				first = day
			}
			last = max(last, day)
		}
	}
	what := strings.TrimSpace(a.Job.Report.Number + " " + a.Job.Report.Title)
	if what != "" {
		what += ": "
	}
	return fmt.Sprintf("%s%s, %s, %s to %s", what, count(a.Cells.Len(), "cell", "cells"), count(spectra, "spectrum", "spectra"), first, last)
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// listed are the cells that are named.
func listed(cells health.Cells) (list []*health.Cell) {
	all := cells.Len() <= mostCells
	for _, c := range cells.All() {
		if len(list) < mostCells && (all || c.Verdict != health.Pass) {
			list = append(list, c)
		}
	}
	return list
}

// tellTable lists cells with their verdicts and the values that are held against the limits.
func (c *console) tellTable(j *job.Job, cells []*health.Cell) {
	table := tabwriter.NewWriter(c.out, 0, 0, 3, ' ', 0)
	fmt.Fprint(table, "cell\tverdict")
	for _, limit := range j.Limits {
		fmt.Fprintf(table, "\t%s", heading(limit))
	}
	if len(j.Grades) > 0 {
		fmt.Fprint(table, "\tgrade")
	}
	fmt.Fprintln(table)
	for _, cell := range cells {
		fmt.Fprintf(table, "%s\t%s", legible(cell.Name), c.verdict(cell.Verdict))
		for i := range cell.Criteria {
			fmt.Fprintf(table, "\t%s", finding(&cell.Criteria[i]))
		}
		if len(j.Grades) > 0 {
			fmt.Fprintf(table, "\t%s", cmp.Or(legible(cell.Grade), notation.NotHad))
		}
		fmt.Fprintln(table)
	}
	table.Flush()
}

// heading is a quantity with its limit, by the name that job.yaml uses.
func heading(l job.Limit) string {
	sign := map[job.Side]string{job.Max: "≤", job.Min: "≥"}[l.Side]
	unit := notation.UnitOf(l.Quantity)
	return fmt.Sprintf("%s %s %s", l.Quantity, sign, numbers.Stated(l.Bound, unit.Scale()))
}

// finding is a value with its coverage interval, which for a growth does not lie evenly about it, or with its expanded
// uncertainty.
func finding(c *health.Criterion) string {
	scale := notation.UnitOf(c.Quantity).Scale(c.Value)
	switch {
	case !c.Value.Known():
		return notation.NotHad
	case c.Value.StandardUncertainty() == 0: // as stated in the job: a capacity
		return strings.TrimSpace(numbers.Fixed(c.Value.Estimate(), 3, scale) + " " + scale.Symbol)
	case report.IsGrowth(c.Quantity):
		expanded := c.ExpandedUncertainty // gives the digits, as in the report
		return fmt.Sprintf("%s (%s)", numbers.Fixed(c.Value.Estimate(), scale.Decimals(expanded), scale), numbers.Interval(c.Lower, c.Upper, expanded, scale))
	}
	return numbers.Expanded(c.Value.Estimate(), c.ExpandedUncertainty, scale)
}

// tints of the verdicts. The word says it too.
var tints = map[health.Verdict]tint{
	health.NotEvaluated: yellow, health.Pass: green, health.ConditionalPass: yellow, health.ConditionalFail: red, health.Fail: red,
}

// verdict is its word. All words are tinted, so that the invisible characters weigh the same in every row of a table.
func (c *console) verdict(v health.Verdict) string { return c.tinted(tints[v], v.String()) }

// tally counts the cells by verdict.
func tally(n health.Counts) string {
	var parts []string
	for _, part := range []struct {
		cells   int
		verdict health.Verdict
	}{{n.Pass, health.Pass}, {n.ConditionalPass, health.ConditionalPass}, {n.ConditionalFail, health.ConditionalFail},
		{n.Fail, health.Fail}, {n.NotEvaluated, health.NotEvaluated}} {
		if part.cells > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", part.cells, part.verdict))
		}
	}
	return strings.Join(parts, ", ")
}

// rule is the decision rule in words.
func rule(r job.DecisionRule) string {
	k := strings.Trim(numbers.Coverage(r.CoverageFactor), "()")
	if r.Kind == job.Simple {
		return "simple acceptance; in brackets the coverage interval, " + k
	}
	return fmt.Sprintf("%s acceptance, %s; in brackets the coverage interval", r.Kind, k)
}

// growth says what a growth is, where one is limited.
func growth(limits []job.Limit) string {
	if slices.ContainsFunc(limits, func(l job.Limit) bool { return report.IsGrowth(l.Quantity) }) {
		return "; growth: resistance over its baseline"
	}
	return ""
}

// tellReasons says of each cell that did not pass what decided, and of one that was judged at an earlier measurement than its last, at
// which.
func (c *console) tellReasons(say health.Phrase, cells []*health.Cell) {
	table := tabwriter.NewWriter(c.out, 0, 0, 3, ' ', 0)
	for _, cell := range cells {
		if last := len(cell.Measurements) - 1; cell.Verdict != health.Pass || cell.Latest != last {
			fmt.Fprintf(table, "%s\t%s\n", legible(cell.Name), legible(say.Reason(cell.Because)))
		}
	}
	table.Flush()
}

// tellQuality names the spectra that do not count or count by hand, and counts the warnings.
func (c *console) tellQuality(say health.Phrase, a *health.Assessment) {
	warned := 0
	for _, cell := range a.Cells.All() {
		for _, m := range cell.Measurements {
			if reason := m.Quality.AcceptedByHand; reason != "" {
				c.say("- %s would not count, and counts by hand, for this reason: %s", legible(m.Row.File), legible(reason))
			}
			for _, f := range m.Quality.Findings {
				if f.Severity == health.Reject && !m.Quality.Accepted {
					message, _ := say.Finding(f)
					c.say("- %s does not count: %s", legible(m.Row.File), legible(message))
				}
			}
			if slices.ContainsFunc(m.Quality.Findings, func(f health.Finding) bool { return f.Severity == health.Warning }) {
				warned++
			}
		}
	}
	if warned > 0 {
		c.say("- The report warns about %s.", count(warned, "spectrum", "spectra"))
	}
}

// tellPlaces says where the files are.
func (c *console) tellPlaces(out, figures string) {
	var names []string
	for _, f := range formats {
		names = append(names, legible(filepath.Join(out, f.name)))
	}
	c.say("- A verdict says whether these limits were met on that day. It is no safety certificate.")
	c.say("\n%s", strings.Join(names, "\n"))
	if figures != "" {
		c.say("figures in %s", legible(figures))
	}
}
