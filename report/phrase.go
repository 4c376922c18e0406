package report

import (
	"io/fs"
	"math"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report/notation"
)

// ReadWords reads the sentences of a language, wording/<language>/*.tmpl of the templates, then a laboratory's own blocks from
// overrides, a folder that the user calls name; overrides may be nil. Faults in those are positioned spectrum.Errors.
func ReadWords(templates fs.FS, language string, overrides fs.FS, name string) (*Words, error) {
	return loadWords(templates, language, overrides, name)
}

// Phrase puts what the judgement says into words; it is a health.Phrase. The block has the facts by their names.
func (w *Words) Phrase(block string, facts []health.Fact) string {
	data := make(map[string]told, len(facts))
	for _, f := range facts {
		data[f.Name] = told{f, w.Notation()}
	}
	return w.Say(block, data)
}

// told is a fact as sentences have it: {{.shift}} writes it with its unit, to the digits that sentences show.
type told struct {
	health.Fact
	numbers notation.Notation
}

// units of facts as sentences write them.
var units = map[health.Unit]notation.Unit{
	health.One: notation.One, health.Ohm: notation.Ohm, health.Henry: notation.Henry, health.Hertz: notation.Hertz, health.Volt: notation.Volt, health.Ampere: notation.Ampere,
	health.Metre: {Symbol: "m"}, health.Celsius: notation.Celsius, health.Minutes: notation.Minute, health.AmpereHour: notation.AmpereHour,
	health.KiloJoule: notation.KilojouleMole, health.Fraction: notation.Percent, health.PerCent: {Symbol: "%"}, health.Count: notation.One,
}

func (t told) String() string {
	switch {
	case !t.At.IsZero():
		return t.numbers.Date(t.At)
	case t.Unit == health.Word:
		return t.Text
	}
	return t.number(t.Value)
}

func (t told) number(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return notation.NotHad
	}
	x = notation.Significant(x)
	return t.numbers.Stated(x, units[t.Unit].Scale(fit.NewValue(x, 0)))
}

// Signed writes the number with its sign, also where it is positive.
func (t told) Signed() string {
	if t.Value > 0 {
		return "+" + t.number(t.Value)
	}
	return t.number(t.Value)
}

// Size writes the number without its sign.
func (t told) Size() string { return t.number(math.Abs(t.Value)) }

// Uncertainty writes the standard uncertainty, to two digits.
func (t told) Uncertainty() string {
	scale := units[t.Unit].Scale(fit.NewValue(notation.Significant(t.Value), 0))
	return notation.WithUnit(t.numbers.Uncertainty(t.U, scale), scale)
}

// Is reports whether the fact is the given word.
func (t told) Is(word string) bool { return t.Text == word }

// Int is the number as a count.
func (t told) Int() int { return int(t.Value) }
