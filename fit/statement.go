package fit

// Statement is something that a fit says: a code for machines, the facts that its sentence is made of, and the sentence
// itself in English. Reports put it into their own words. The zero Statement says nothing.
type Statement struct {
	Code  string // stable, kebab-case
	Facts []Fact
	Text  string // plain words
}

// Fact is one thing that a sentence states: a number, a name, or another statement.
type Fact struct {
	Name     string     // by which sentences call it
	Value    float64    // where it is a number
	Fraction bool       // whether the number is a fraction, which sentences show in per cent
	Text     string     // where it is a name: an Element's or a parameter's key
	Within   *Statement // where it is a statement
}

func because(code, text string, facts ...Fact) Statement { return Statement{code, facts, text} }

func number(name string, value float64) Fact   { return Fact{Name: name, Value: value} }
func fraction(name string, value float64) Fact { return Fact{Name: name, Value: value, Fraction: true} }
func name(of, key string) Fact                 { return Fact{Name: of, Text: key} }
func within(name string, s Statement) Fact     { return Fact{Name: name, Within: &s} }

// relative is a relative standard uncertainty as a fact: beyond ten, or where none is known, ten.
func relative(name string, u float64) Fact {
	if !(u < 10) {
		u = 10
	}
	return fraction(name, u)
}

// elementKeys name the resistances to machines.
var elementKeys = [elementCount]string{"ohmic_ohm", "film_ohm", "charge_transfer_ohm", "all_arcs_ohm"}

// Key is the element's name as machines read it.
func (e Element) Key() string { return elementKeys[e] }

// slotKeys name the coordinates to machines.
var slotKeys = [slotCount]string{
	slotLead: "lead_inductance", slotOhmic: "ohmic_ohm", slotFilm: "film_ohm", slotFilmTime: "film_time_constant",
	slotTransfer: "charge_transfer_ohm", slotTransferTime: "charge_transfer_time_constant", slotDiffusion: "diffusion_coefficient",
	slotLeadExponent: "lead_exponent", slotFilmExponent: "film_exponent", slotTransferExponent: "charge_transfer_exponent",
	slotDiffusionExponent: "diffusion_exponent",
}
