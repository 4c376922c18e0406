package health

import (
	"maps"
	"slices"

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

// fitSays puts what a fit says into words; without a Phrase they are the fit's own.
func (p Phrase) fitSays(s fit.Statement) string {
	if p == nil || s.Code == "" {
		return s.Text
	}
	return p.reason(ofFit(s))
}

// Doubt puts a doubt, of a fit or about a job, into words.
func (p Phrase) Doubt(d fit.Doubt) string {
	return p.saying("doubt."+d.Code, ofFit(fit.Statement{Facts: d.Facts}).Facts)
}

// worded gives a fit the words of the report; the fit itself is left as it is.
func (p Phrase) worded(r *fit.Result) *fit.Result {
	if p == nil || r == nil {
		return r
	}
	out := *r
	out.Excluded, out.Doubts, out.Unresolved = slices.Clone(r.Excluded), slices.Clone(r.Doubts), maps.Clone(r.Unresolved)
	for i, e := range r.Excluded {
		out.Excluded[i].Reason = p.fitSays(e.Because)
	}
	for i, d := range r.Doubts {
		out.Doubts[i].Text = p.Doubt(d)
	}
	for e, why := range r.Because {
		out.Unresolved[e] = p.fitSays(why)
	}
	return &out
}

// unresolved says why a resistance of a fit has no value.
func unresolved(r *fit.Result, e fit.Element) Statement {
	if why, ok := r.Because[e]; ok {
		return ofFit(why)
	}
	return ofFit(r.Status.Statement())
}
