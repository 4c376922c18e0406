package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ohmledger/report"
)

// listedPlaces of a file are told one by one in text, the weightiest first.
const listedPlaces = 12

// tell prints what was compared, and what does not agree.
func (v *verification) tell(c *console) {
	for _, e := range v.exhibits {
		c.say("%s", legible(e.summary()))
	}
	c.say("%s", legible(v.inputsSummary()))
	if v.recomputed {
		c.say("results recomputed with %s", legible(toolName(tool())))
	}
	for _, note := range v.notes {
		c.say("- %s", legible(note))
	}
	if len(v.mismatches) == 0 {
		c.say("\n%s", c.tinted(green, v.agreement()))
		return
	}
	c.say("\n%s", c.tinted(red, "The report does not match."))
	v.tellMismatches(c)
	if v.more > 0 {
		c.say("and %d more places", v.more)
	}
}

// agreement says what agrees, and what was not looked at.
func (v *verification) agreement() string {
	if v.recomputed {
		return "The report matches its inputs."
	}
	return "Nothing in the report disagrees with itself. It was not held against its inputs."
}

// tellMismatches lists them, those of one file and one measure together.
func (v *verification) tellMismatches(c *console) {
	for list := v.mismatches; len(list) > 0; {
		first := list[0]
		next := slices.IndexFunc(list, func(m mismatch) bool { return m.File != first.File || m.Message != first.Message })
		if next < 0 {
			next = len(list)
		}
		if first.Place == "" || first.by == byDigest {
			for _, m := range list[:next] {
				c.say("- %s", legible(m.String()))
			}
		} else {
			tellPlaces(c, list[:next])
		}
		list = list[next:]
	}
}

func tellPlaces(c *console, list []mismatch) {
	c.say("- %s", legible(fmt.Sprintf("%s: %s, in %s:", list[0].File, list[0].Message, count(len(list), "place", "places"))))
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b mismatch) int { return cmp.Compare(a.weight(), b.weight()) })
	for _, m := range list[:min(len(list), listedPlaces)] {
		c.say("    %s", legible(m.side()))
	}
	if rest := len(list) - listedPlaces; rest > 0 {
		c.say("    and %d more, which --json lists", rest)
	}
}

// weights are parts of places, the weightiest first: what is read before anything else.
var weights = []string{"verdict", "].grade", "Summary!", "counts.", "settings.", "criteria["}

func (m *mismatch) weight() int {
	at := slices.IndexFunc(weights, func(part string) bool { return strings.Contains(m.Place, part) })
	if at < 0 {
		return len(weights)
	}
	return at
}

func (e *exhibit) summary() string {
	text := fmt.Sprintf("%s: SHA-256 %s", e.path, e.digest)
	if e.pdf != nil {
		text += ", " + count(len(e.pdf.Pages), "page", "pages")
	}
	return text
}

func (v *verification) inputsSummary() string {
	switch {
	case v.folder == "":
		return "inputs: not checked; --job JOB names the folder from which the report was made"
	case v.results == nil:
		return "inputs: not checked, since no results can be read"
	}
	return fmt.Sprintf("inputs: %s in %s; made with %s, says the report",
		count(len(v.claims.Inputs), "file", "files"), v.folder, toolName(v.claims.Tool))
}

func toolName(t report.Tool) string {
	text := fmt.Sprintf("%s %s, model %s", cmp.Or(t.Name, "an unnamed program"), cmp.Or(t.Version, "of unknown version"), cmp.Or(t.Model, "unknown"))
	if t.Build != "" {
		text += ", build " + t.Build
	}
	return text
}

// String is a mismatch on one line.
func (m mismatch) String() string {
	if m.Place == "" {
		return m.File + ": " + m.Message
	}
	return fmt.Sprintf("%s: %s; %s", m.File, m.Message, m.side())
}

// side is a place with what stands there and what the measure gives.
func (m *mismatch) side() string {
	found, expected := m.Found, m.Expected
	if a, b := briefly(found), briefly(expected); a != b {
		found, expected = a, b
	}
	return fmt.Sprintf("%s: %s; %s %s", m.Place, stated(found), m.by.gives, stated(expected))
}

// briefly is a number to six digits; other text is left as it is.
func briefly(text string) string {
	if number, err := strconv.ParseFloat(text, 64); err == nil && len(text) > 8 {
		return strconv.FormatFloat(number, 'g', 6, 64)
	}
	return text
}

// stated is one side, shortened and on one line.
func stated(text string) string {
	const most = 100
	if text == "" {
		return "nothing"
	}
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most]) + "…"
	}
	return strings.ReplaceAll(text, "\n", " ")
}
