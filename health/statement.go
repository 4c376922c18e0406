package health

import (
	"fmt"
	"strings"
	"time"
	"unique"
)

// Statement is something that the judgement says: a code for machines, with the facts that its sentence is made of.
// The zero Statement says nothing.
type Statement struct {
	Code  string // stable, kebab-case
	Facts []Fact
}

// says reports whether anything is said.
func (s Statement) says() bool { return s.Code != "" }

// Fact is one thing that a sentence states: a number with its unit, a word, a moment, or another statement.
type Fact struct {
	Name   string  // by which sentences call it
	Value  float64 // in Unit, where it is a number
	U      float64 // standard uncertainty of Value; 0: none is stated
	Unit   Unit
	Text   string     // where it is a word or a name
	At     time.Time  // where it is a moment
	Within *Statement // where it is a statement; Text then has it in words
}

// Unit of a fact, as names that a machine reads end on it.
type Unit string

// Units of facts. SI, but for those in which jobs state them.
const (
	One        Unit = ""
	Ohm        Unit = "ohm"
	Henry      Unit = "h"
	Hertz      Unit = "hz"
	Volt       Unit = "v"
	Ampere     Unit = "a"
	Metre      Unit = "m"
	Celsius    Unit = "c"
	Minutes    Unit = "minutes"
	AmpereHour Unit = "ah"
	KiloJoule  Unit = "kj_per_mol"
	Fraction   Unit = "fraction" // shown in per cent
	PerCent    Unit = "percent"  // stated in per cent
	Count      Unit = "count"
	Word       Unit = "word" // no number at all
)

// Key is the fact's name as machines read it, with its unit.
func (f Fact) Key() string {
	if f.Unit == One || f.Unit == Word {
		return f.Name
	}
	return f.Name + "_" + string(f.Unit)
}

// Phrase puts a statement into words: block names a block of the wording, which may use the facts by their names.
type Phrase func(block string, facts []Fact) string

// saying gives the words of a block, those of statements within it first. Without a Phrase it is what a machine would read.
func (p Phrase) saying(block string, facts []Fact) string {
	told := make([]Fact, len(facts))
	for i, f := range facts {
		if f.Within != nil {
			f.Text = p.reason(*f.Within)
		}
		told[i] = f
	}
	if p == nil {
		return plainly(block, told)
	}
	return once(p(block, told))
}

// once is a text that is held once however often it is said: most sentences about many cells are the same few.
func once(text string) string { return unique.Make(text).Value() }

// reason gives a statement that explains something in words; empty where it says nothing.
func (p Phrase) reason(s Statement) string {
	if !s.says() {
		return ""
	}
	if strings.HasPrefix(s.Code, findingBlock) && p != nil {
		return once(p.saying(s.Code+".seen", s.Facts) + " " + p.saying(s.Code+".size", s.Facts))
	}
	return p.saying("reason."+s.Code, s.Facts)
}

// Reason puts a statement that explains something into words; empty where it says nothing.
func (p Phrase) Reason(s Statement) string { return p.reason(s) }

// Finding puts what a check found into words: what was seen, how big it is, what it most likely is; and what to do.
func (p Phrase) Finding(f Finding) (message, advice string) {
	return p.sentences(findingBlock+f.Code, f.Facts)
}

// reasons gives several of them in words.
func (p Phrase) reasons(list []Statement) string {
	words := make([]string, len(list))
	for i, s := range list {
		words[i] = p.reason(s)
	}
	return once(strings.Join(words, " "))
}

// plainly writes codes and numbers where nobody has words for them.
func plainly(block string, facts []Fact) string {
	parts := make([]string, len(facts))
	for i, f := range facts {
		switch {
		case f.Unit == Word && f.At.IsZero():
			parts[i] = f.Key() + " " + f.Text
		case !f.At.IsZero():
			parts[i] = f.Key() + " " + f.At.Format(time.RFC3339)
		default:
			parts[i] = fmt.Sprintf("%s %.4g", f.Key(), f.Value)
		}
	}
	return strings.TrimSpace(block + " " + strings.Join(parts, ", "))
}

func number(name string, value float64, unit Unit) Fact {
	return Fact{Name: name, Value: value, Unit: unit}
}
func word(name, text string) Fact                  { return Fact{Name: name, Text: text, Unit: Word} }
func moment(name string, at time.Time) Fact        { return Fact{Name: name, At: at, Unit: Word} }
func count(name string, n int) Fact                { return number(name, float64(n), Count) }
func within(name string, s Statement) Fact         { return Fact{Name: name, Within: &s, Unit: Word} }
func because(code string, facts ...Fact) Statement { return Statement{code, facts} }

// uncertain is a number with its standard uncertainty.
func uncertain(name string, value, u float64, unit Unit) Fact {
	return Fact{Name: name, Value: value, U: u, Unit: unit}
}
