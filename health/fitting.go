package health

import (
	"ohmledger/fit"
)

// ofFit is a statement of a fit as the judgement makes its own.
func ofFit(s fit.Statement) Statement {
	out := Statement{Code: s.Code}
	for _, f := range s.Facts {
		out.Facts = append(out.Facts, factOfFit(f))
	}
	return out
}

func factOfFit(f fit.Fact) Fact {
	switch {
	case f.Within != nil:
		return within(f.Name, ofFit(*f.Within))
	case f.Text != "":
		return word(f.Name, f.Text)
	case f.Fraction:
		return number(f.Name, f.Value, Fraction)
	}
	return number(f.Name, f.Value, One)
}

// Fit puts what a fit says into words.
func (p Phrase) Fit(s fit.Statement) string {
	if p == nil || s.Code == "" {
		return s.Text
	}
	return p.reason(ofFit(s))
}

// Doubt puts a doubt of a fit into words.
func (p Phrase) Doubt(d fit.Doubt) string {
	if p == nil {
		return d.Text
	}
	return p.saying("doubt."+d.Code, ofFit(fit.Statement{Code: d.Code, Facts: d.Facts}).Facts)
}

// unresolved says why a resistance of a fit has no value.
func unresolved(r *fit.Result, e fit.Element) Statement {
	if why, ok := r.Because[e]; ok {
		return ofFit(why)
	}
	return ofFit(r.Status.Statement())
}
