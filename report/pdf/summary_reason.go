package pdf

import (
	"strings"

	"ohmledger/health"
	"ohmledger/health/job"
)

// summaryReason is what decided on a cell, and which of its earlier spectra do not count.
func (c *composition) summaryReason(cell *health.Cell) string {
	decided, list := c.summaryDecision(cell), passedOver(cell)
	if len(list) == 0 {
		return decided
	}
	words := setAside{Count: len(list), All: len(cell.Measurements)}
	if len(list) == 1 && !c.lengthy() {
		words.On = c.numbers.Date(cell.Measurements[list[0]].Row.MeasuredAt)
	}
	if decided != "" && !strings.HasSuffix(decided, ".") && !strings.HasSuffix(decided, "…") {
		decided += "."
	}
	return strings.TrimSpace(decided + " " + c.say("summary.rejected", words))
}

// setAside are the spectra before a cell's judged one that do not count. On is blank where the day is not named.
type setAside struct {
	On         string
	Count, All int
}

// passedOver are the rejected measurements before the judged one.
func passedOver(cell *health.Cell) (list []int) {
	for i := range cell.Measurements[:max(0, cell.Latest)] {
		if !counts(&cell.Measurements[i]) {
			list = append(list, i)
		}
	}
	return list
}

// summaryDecision leaves out of a long summary why cells passed, and says what keeps them from a better grade.
func (c *composition) summaryDecision(cell *health.Cell) string {
	if limits := c.decisive(cell); len(limits.Misses)+len(limits.Meets) > 0 {
		return c.say("summary.decisive", limits)
	}
	if lack := c.lack(cell); len(lack.Quantities) > 0 {
		return c.say("summary.lack", lack)
	}
	if cell.Verdict != health.Pass || !c.terse() {
		return capitalised(c.literally(cut(cell.Reason, c.longestReason())))
	}
	if cell.Grading == nil || cell.Grading.Better == "" {
		return ""
	}
	return c.say("summary.grading", struct {
		Better string
		Missed []string
	}{c.literally(cell.Grading.Better), c.missed(cell.Grading)})
}

// terse reports whether reasons are to be short: there are many cells, or what is below would spill over.
func (c *composition) terse() bool { return c.lengthy() || c.give > 0 }

// longestReason is how many characters a reason has in the summary; it stands whole with its cell.
func (c *composition) longestReason() int {
	switch {
	case c.lengthy():
		return 50
	case c.terse():
		return 70
	}
	return 145
}

// brief is a short name of a quantity, of many cells the shortest.
func (c *composition) brief(q job.Quantity) string {
	if c.lengthy() {
		return c.say("symbol", string(q))
	}
	return c.say("brief", string(q))
}

// cut shortens a long text, to whole sentences where it can.
func cut(text string, most int) string {
	letters := []rune(text)
	if len(letters) <= most {
		return text
	}
	begin := string(letters[:most-1])
	if sentence := strings.LastIndex(begin, ". "); sentence > 0 {
		return begin[:sentence+1]
	}
	if space := strings.LastIndexByte(begin, ' '); space > 0 {
		begin = begin[:space]
	}
	return strings.TrimRight(begin, " .,;:") + "…"
}

// decisive are the quantities that decide a verdict which is neither pass nor missing: those that miss their limits, and those
// that meet them by less than their expanded uncertainty.
type decisive struct {
	Misses, Meets []string
	Later         int  // rejected spectra after the judged one
	Many          bool // there is a line for each of many cells
}

// lack is what keeps a cell from being judged: the quantities that could not be had for the first reason, and that.
type lack struct {
	Quantities []string
	Reason     string
	Later      int // rejected spectra after the judged one, where the reason does not count them
}

func (c *composition) lack(cell *health.Cell) (l lack) {
	first, code := "", ""
	for _, k := range cell.Criteria {
		if cell.Verdict != health.NotEvaluated || k.Verdict != health.NotEvaluated || first != "" && k.Reason != first {
			continue
		}
		first, code = k.Reason, k.Because.Code
		l.Quantities = append(l.Quantities, c.brief(k.Quantity))
	}
	if cell.Latest >= 0 && code != "only-baseline-accepted" {
		l.Later = len(cell.Measurements) - 1 - cell.Latest
	}
	l.Reason = capitalised(c.literally(cut(first, c.longestReason())))
	return l
}

func (c *composition) decisive(cell *health.Cell) (d decisive) {
	if cell.Verdict == health.Pass || cell.Verdict == health.NotEvaluated {
		return d
	}
	for _, k := range cell.Criteria {
		brief := c.brief(k.Quantity)
		switch {
		case k.Verdict != cell.Verdict:
		case k.ProbabilityOfConformity >= 0.5:
			d.Meets = append(d.Meets, brief)
		default:
			d.Misses = append(d.Misses, brief)
		}
	}
	d.Later, d.Many = len(cell.Measurements)-1-cell.Latest, c.lengthy()
	return d
}
