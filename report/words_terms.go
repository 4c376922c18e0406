package report

import (
	"strings"
	"unicode"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
)

// Verdict is the word of a verdict.
func (w *Words) Verdict(v health.Verdict) string {
	return w.Say("verdict."+strings.ReplaceAll(v.String(), " ", "-"), nil)
}

// Quantity is the name of a quantity that a limit may name.
func (w *Words) Quantity(q job.Quantity) string { return w.Say("quantity."+string(q), nil) }

// Side is "at most" or "at least".
func (w *Words) Side(s job.Side) string { return w.Say("side."+string(s), nil) }

// FitStatus says how a fit ended.
func (w *Words) FitStatus(s fit.Status) string { return w.Say("reason.fit-"+s.Code(), nil) }

// Element is the name of a resistance that a fit has.
func (w *Words) Element(e fit.Element) string {
	return w.Say("term.parameter", told{health.Fact{Text: e.Key(), Unit: health.Word}, w.Notation()})
}

// Contribution is the name of an uncertainty budget's line; its own where the wording has none for it.
func (w *Words) Contribution(source string) string {
	if block := "budget." + kebab(source); w.Has(block) {
		return w.Say(block, nil)
	}
	return source
}

// kebab is a text in lower case with a hyphen for whatever is neither letter nor digit, as it stands in names of blocks.
func kebab(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), "-")
}

// missing says why a value is not there.
func (w *Words) missing(what string, data any) string { return w.Say("missing."+what, data) }
