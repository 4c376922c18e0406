package main

import (
	"regexp"
	"strconv"
	"strings"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// place is a measurement that shows a finding.
type place struct {
	*health.Measurement
	health.Finding
}

// alike are the places of one code in groups of which the same is said but for sizes.
func (c *check) alike(code string, all []*health.Measurement) (groups [][]place) {
	of := map[string]int{}
	for _, m := range all {
		for _, f := range m.Quality.Findings {
			if f.Code != code {
				continue
			}
			key := f.Severity.String() + outline(c.part(f, "seen")) + outline(c.part(f, "likely")) + outline(f.Advice)
			i, known := of[key]
			if !known {
				i = len(groups)
				of[key], groups = i, append(groups, nil)
			}
			groups[i] = append(groups[i], place{m, f})
		}
	}
	return groups
}

// size is a number before its unit; names and dates have no such blank behind them.
var size = regexp.MustCompile(`[+−]?\b\d+(?:[.,]\d+)?` + notation.NoBreak)

// outline is a text without its sizes.
func outline(text string) string { return size.ReplaceAllString(text, notation.NoBreak) }

// ranged is what texts of one outline say in common, with the range of each size that differs.
func ranged(texts []string) string {
	lows := size.FindAllString(texts[0], -1)
	highs := append([]string{}, lows...)
	for _, text := range texts[1:] {
		for i, n := range size.FindAllString(text, -1) {
			if valueOf(n) < valueOf(lows[i]) {
				lows[i] = n
			}
			if valueOf(n) > valueOf(highs[i]) {
				highs[i] = n
			}
		}
	}
	i := -1
	return size.ReplaceAllStringFunc(texts[0], func(string) string {
		if i++; lows[i] == highs[i] {
			return lows[i]
		}
		return strings.TrimSuffix(lows[i], notation.NoBreak) + "…" + highs[i]
	})
}

// valueOf a size, however a language writes it.
func valueOf(n string) float64 {
	plain := strings.NewReplacer("−", "-", ",", ".", notation.NoBreak, "").Replace(n)
	x, err := strconv.ParseFloat(plain, 64)
	if err != nil {
		panic("check: " + strconv.Quote(n) + " is no size")
	}
	return x
}

// part is one of the four things that a finding says.
func (c *check) part(f health.Finding, of string) string {
	return health.Phrase(c.words.Phrase).Part(f, of)
}

// mostPlaces is how many places of a group are listed.
var mostPlaces = map[health.Severity]int{health.Reject: 50, health.Warning: 10, health.Note: 3}

// tellAlike says of a group what was seen, where and how big, what it most likely is, what follows, and what to do.
func (c *check) tellAlike(group []place) {
	f := group[0].Finding
	common := func(part string) string {
		return ranged(each(group, func(p place) string { return c.part(p.Finding, part) }))
	}
	c.tell(c.severity(f.Severity), common("seen"))
	listed := group[:min(len(group), mostPlaces[f.Severity])]
	for _, p := range listed {
		c.item(c.where(p.Measurement) + ": " + c.part(p.Finding, "size"))
	}
	if more := len(group) - len(listed); more > 0 {
		c.item(c.words.Say("check.job.more", more))
	}
	c.tell(c.margin(), common("likely"))
	if touched := c.touched(f); touched != "" {
		c.tell(c.margin(), touched)
	}
	c.tell(c.margin(), c.words.Say("check.do", ranged(each(group, func(p place) string { return p.Advice }))))
}

// item is one of a list.
func (c *check) item(text string) { c.tellWithin(c.margin()+"- ", c.margin()+"  ", text) }
