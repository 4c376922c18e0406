package main

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// tellLot says what the cells show together: the decision on a delivery, grades of more cells than are listed, matched
// groups, and the parts of the lot that differ.
func (c *console) tellLot(say health.Phrase, l *health.Lot) {
	if l == nil {
		return
	}
	if i := l.Sampling; i != nil {
		c.say("- Delivery %s: %s", decided[i.Decision], legible(say.Reason(i.Because)))
	}
	if l.Cells > mostCells && len(l.Grades) > 0 {
		c.say("- Grades: %s.", legible(graded(l.Grades)))
	}
	if g := l.Grouping; g != nil {
		c.say("- %s of %d made, %s left over.", count(len(g.Groups), "group", "groups"), g.Size, count(len(g.Leftover), "cell", "cells"))
	}
	var odd []string
	for i := range l.Groups {
		if text := differing(l, &l.Groups[i]); text != "" {
			odd = append(odd, text)
		}
	}
	for _, text := range odd[:min(len(odd), mostCells)] {
		c.say("- %s", legible(text))
	}
	if more := len(odd) - mostCells; more > 0 {
		c.say("- and %s more that %s.", count(more, "part", "parts"), map[bool]string{true: "differs", false: "differ"}[more == 1])
	}
}

// decided are the decisions on a delivery, in words.
var decided = [...]string{health.Undecided: "not decided", health.Accepted: "accepted", health.Rejected: "rejected"}

// graded counts the cells of each grade.
func graded(grades []health.GradeCount) string {
	var parts []string
	for _, g := range grades {
		if g.Grade != "" || g.Cells > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", g.Cells, cmp.Or(g.Grade, "without a grade")))
		}
	}
	return strings.Join(parts, ", ")
}

// differing says how a part of a lot differs from the rest by more than chance; blank where it does not.
func differing(l *health.Lot, g *health.LotGroup) string {
	var by []string
	for _, q := range g.Quantities {
		if !q.Departs {
			continue
		}
		side, scale := "above", notation.UnitOf(q.Quantity).Scale()
		if q.Difference < 0 {
			side = "below"
		}
		if q.Logarithmic {
			by = append(by, fmt.Sprintf("%s %s %s", q.Quantity, numbers.Percentage(math.Abs(q.Difference), 1), side))
			continue
		}
		u := (q.Interval.Upper - q.Interval.Lower) / 4 // half of a 95 % interval is about two standard uncertainties
		size := strings.TrimSpace(numbers.Fixed(math.Abs(q.Difference), scale.Decimals(u), scale) + " " + scale.Symbol)
		by = append(by, fmt.Sprintf("%s %s %s", q.Quantity, size, side))
	}
	if len(by) == 0 {
		return ""
	}
	failed := g.Counts.Fail + g.Counts.ConditionalFail
	return fmt.Sprintf("%s %s: %s the rest; %d of %d fail.", l.GroupedBy, cmp.Or(g.Name, "(blank)"), strings.Join(by, ", "), failed, g.Cells)
}
