package report

import (
	"slices"

	"ohmledger/health"
	"ohmledger/report/notation"
)

// like makes data: the n-th kind of it. 0 has nothing but what cannot be left away, 1 one of everything, others more.
func (s *given) like(n int, numbers notation.Notation) any {
	word := "x"
	if len(s.words) > 0 && n > 0 {
		word = s.words[(n-1)%len(s.words)]
	}
	switch {
	case len(s.asFact) > 0 && len(s.fields) == 0:
		unit := health.Count
		if len(s.words) > 0 {
			unit = health.Word
		}
		return told{health.Fact{Text: word, Value: float64(n), U: 0.5 * float64(n), Unit: unit}, numbers}
	case n == 0 && s.optional && s.kind == group:
		return nil
	case s.kind == whole:
		return n
	case s.kind == fraction:
		return float64(n)
	case s.kind == list:
		return s.items(n, numbers)
	case s.kind == group:
		members := map[string]any{}
		for _, fields := range []map[string]*given{s.fields, s.asFact} {
			for name, f := range fields {
				members[name] = f.like(n, numbers)
			}
		}
		return members
	case n == 0:
		return ""
	}
	return word
}

func (s *given) items(n int, numbers notation.Notation) any {
	if s.fields["item"] == nil || s.fields["item"].kind != group {
		return slices.Repeat([]string{"x"}, n)
	}
	items := make([]any, n)
	for i := range items {
		items[i] = s.fields["item"].like(n, numbers)
	}
	return items
}
