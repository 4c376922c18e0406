package main

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// tellSpectrum says of one spectrum whether it is worth keeping, and why.
func (c *check) tellSpectrum(m *health.Measurement) {
	c.con.say("%s: %s", c.verdict(worthOf(m)), legible(m.Row.File))
	c.tell("", c.words.Phrase("check.spectrum", c.facts(m)))
	c.tellFindings(m.Quality.Findings)
	c.con.say("")
	c.tell("", c.words.Say("check.not-judged", nil))
	c.con.say("  ohmledger check %s", quoted(cmp.Or(jobAbove(m.Row.File), "JOB")))
	c.tellCaution(m)
}

// facts of a spectrum, as the block check.spectrum has them. Of one that does not count no resistances are told: they
// would be taken for the cell's.
func (c *check) facts(m *health.Measurement) []health.Fact {
	f, consistency, ohmic, arcs := m.Spectrum.Frequency, "", "", ""
	if k := m.Quality.KramersKronig; k != nil {
		consistency = c.number(k.RMSResidual, health.Fraction)
	}
	if m.Quality.Accepted && m.Fit.Ohmic.Known() {
		ohmic = c.ohmic(m)
	}
	if m.Quality.Accepted && m.Fit.Polarisation.Known() {
		arcs = c.arcs(m)
	}
	return []health.Fact{
		{Name: "points", Value: float64(len(f)), Unit: health.Count},
		{Name: "highest", Value: f[0], Unit: health.Hertz}, {Name: "lowest", Value: f[len(f)-1], Unit: health.Hertz},
		word("consistency", consistency), word("ohmic", ohmic), word("arcs", arcs),
	}
}

// ohmic and arcs are a spectrum's resistances with their standard uncertainties.
func (c *check) ohmic(m *health.Measurement) string {
	return c.words.Notation().Value(m.Fit.Ohmic, notation.Ohm.Scale(m.Fit.Ohmic))
}

func (c *check) arcs(m *health.Measurement) string {
	return c.words.Notation().Value(m.Fit.Polarisation, notation.Ohm.Scale(m.Fit.Polarisation))
}

func word(name, text string) health.Fact {
	return health.Fact{Name: name, Text: text, Unit: health.Word}
}

// number writes a number to three digits, for what has no uncertainty.
func (c *check) number(x float64, unit health.Unit) string {
	return c.words.Phrase("check.number", []health.Fact{{Name: "number", Value: x, Unit: unit}})
}

// tellFindings lists findings, the gravest first.
func (c *check) tellFindings(findings []health.Finding) {
	for _, f := range gravestFirst(findings) {
		c.con.say("")
		c.tellFinding(f)
	}
}

func gravestFirst(findings []health.Finding) []health.Finding {
	sorted := slices.Clone(findings)
	slices.SortStableFunc(sorted, func(a, b health.Finding) int { return int(b.Severity - a.Severity) })
	return sorted
}

// tellFinding says what was seen, how big, what it most likely is, what follows, and what to do.
func (c *check) tellFinding(f health.Finding) {
	c.tell(c.severity(f.Severity), f.Message)
	if touched := c.touched(f); touched != "" {
		c.tell(c.margin(), touched)
	}
	c.tell(c.margin(), c.words.Say("check.do", f.Advice))
}

// touched names the quantities that a report does not evaluate because of a finding.
func (c *check) touched(f health.Finding) string {
	if f.Severity == health.Reject || len(f.Touches) == 0 {
		return ""
	}
	return c.words.Say("check.touches", each(f.Touches, func(q job.Quantity) string { return c.words.Quantity(q) }))
}

// severity is the head of a finding, as wide as the margin.
func (c *check) severity(s health.Severity) string {
	word := c.severityWord(s)
	return c.con.tinted(severityTints[s], word) + c.margin()[utf8.RuneCountInString(word):]
}

func (c *check) severityWord(s health.Severity) string {
	return c.words.Say("severity."+s.String(), nil)
}

// margin is how far in the text of findings stands: beside the longest head.
func (c *check) margin() string {
	longest := 0
	for s := health.Note; s <= health.Reject; s++ {
		longest = max(longest, utf8.RuneCountInString(c.severityWord(s)))
	}
	return strings.Repeat(" ", longest+2)
}

// tellCaution says how not to be hurt, where there is something to do at the cell.
func (c *check) tellCaution(list ...*health.Measurement) {
	for _, m := range list {
		if m.Quality.Gravest() >= health.Warning {
			c.tell("", c.words.Say("check.caution", nil))
			return
		}
	}
}

// textWidth is that of lines, in characters.
const textWidth = 100

// tell prints a text in lines of the usual width: the first after its head, the others as far in as the text begins.
func (c *check) tell(head, text string) {
	indent := ""
	if head != "" {
		indent = c.margin()
	}
	c.tellWithin(head, indent, text)
}

// tellWithin is tell with the blanks before the other lines.
func (c *check) tellWithin(head, indent, text string) {
	for _, line := range folded(legible(text), textWidth-len(indent)) {
		c.con.say("%s%s", head, line)
		head = indent
	}
}

// folded breaks a text at its blanks into lines of a width; no-break blanks are kept.
func folded(text string, width int) (lines []string) {
	line, length := "", 0
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }) {
		more := utf8.RuneCountInString(word)
		switch {
		case line == "":
			line, length = word, more
		case length+1+more > width:
			lines = append(lines, line)
			line, length = word, more
		default:
			line, length = line+" "+word, length+1+more
		}
	}
	return append(lines, line)
}

// each gives what a function makes of every item.
func each[T, F any](items []T, of func(T) F) []F {
	out := make([]F, len(items))
	for i, item := range items {
		out[i] = of(item)
	}
	return out
}
