package report

import (
	"math"

	"ohmledger/health"
)

// matchingForm is how cells were sorted into groups that are alike. Spreads are in robust standard deviations of the cells,
// weighted: see health.Grouping.
type matchingForm struct {
	Size         int                   `json:"size"`
	Arrangement  string                `json:"arrangement"`
	WithinGrade  bool                  `json:"within_grade"`
	Exact        bool                  `json:"exact"`
	By           []matchedQuantityForm `json:"by"`
	Worst        finite                `json:"worst_spread"`
	Sorted       finite                `json:"sorted_spread"`
	Random       finite                `json:"random_spread"`
	RandomDraws  int                   `json:"random_draws"`
	Least        finite                `json:"least_possible_spread"`
	Notes        []string              `json:"notes"`
	NotEvaluated []missingForm         `json:"not_evaluated"`
}

// writeMatching writes a grouping with a line for each group.
func writeMatching(out *layout, w *Words, g *health.Grouping) {
	if g == nil {
		out.member("grouping", nil)
		return
	}
	f := matchingOf(w, g)
	out.key("grouping")
	out.open("{")
	for _, m := range []struct {
		name  string
		value any
	}{
		{"size", f.Size}, {"arrangement", f.Arrangement}, {"within_grade", f.WithinGrade}, {"exact", f.Exact}, {"by", f.By},
		{"worst_spread", f.Worst}, {"sorted_spread", f.Sorted}, {"random_spread", f.Random}, {"random_draws", f.RandomDraws},
		{"least_possible_spread", f.Least}, {"notes", f.Notes}, {"not_evaluated", f.NotEvaluated},
	} {
		out.member(m.name, m.value)
	}
	lines(out, "groups", g.Groups, func(m health.MatchedGroup) any { return matchedGroupOf(w, g, &m) })
	lines(out, "leftover", g.Leftover, func(l health.LeftoverCell) any {
		return leftoverForm{l.Cell, optional(l.Grade), optional(l.Reason)}
	})
	out.close("}")
}

func matchingOf(w *Words, g *health.Grouping) matchingForm {
	const none = "no-group"
	miss := newGaps(w)
	f := matchingForm{Size: g.Size, Arrangement: g.Arrangement, WithinGrade: g.WithinGrade, Exact: g.Exact,
		By:    each(g.By, func(q health.GroupedQuantity) matchedQuantityForm { return matchedQuantityOf(w, q) }),
		Worst: miss.number("worst_spread", g.WorstSpread, none), Sorted: miss.number("sorted_spread", g.SortedSpread, none),
		Random: miss.number("random_spread", g.RandomSpread, none), RandomDraws: g.RandomDraws,
		Least: miss.number("least_possible_spread", g.LeastSpread, none), Notes: listed(g.Reasons)}
	f.NotEvaluated = miss.list
	return f
}

type matchedQuantityForm struct {
	Quantity         string        `json:"quantity"`
	Weight           float64       `json:"weight"`
	Scale            finite        `json:"scale"`
	MeasurementRange finite        `json:"measurement_range"`
	NotEvaluated     []missingForm `json:"not_evaluated"`
}

func matchedQuantityOf(w *Words, q health.GroupedQuantity) matchedQuantityForm {
	miss := newGaps(w)
	of := q.MeasurementRange
	if !(of > 0) {
		of = math.NaN()
	}
	f := matchedQuantityForm{Quantity: string(q.Quantity), Weight: q.Weight, Scale: finite(q.Scale), MeasurementRange: miss.number("measurement_range", of, "unstated")}
	f.NotEvaluated = miss.list
	return f
}

type matchedGroupForm struct {
	Number       int                `json:"number"`
	Grade        optional           `json:"grade"`
	Cells        []string           `json:"cells"`
	Spread       finite             `json:"spread"`
	Quantities   []matchedRangeForm `json:"quantities"`
	Limiting     optional           `json:"limiting_cell"`
	Ratio        *float64           `json:"limiting_ratio"`
	NotEvaluated []missingForm      `json:"not_evaluated"`
}

type matchedRangeForm struct {
	Quantity string `json:"quantity"`
	Mean     finite `json:"mean"`
	Range    finite `json:"range"`
}

func matchedGroupOf(w *Words, g *health.Grouping, m *health.MatchedGroup) matchedGroupForm {
	miss := newGaps(w)
	f := matchedGroupForm{Number: m.Number, Grade: optional(m.Grade), Cells: listed(m.Cells), Spread: finite(m.Spread), Limiting: optional(m.Limiting)}
	f.Quantities = make([]matchedRangeForm, len(g.By))
	for i, q := range g.By {
		f.Quantities[i] = matchedRangeForm{string(q.Quantity), finite(m.Means[i]), finite(m.Ranges[i])}
	}
	if m.Limiting != "" {
		f.Ratio = &m.Ratio
	} else {
		miss.null("limiting_cell", "nothing-limits")
		miss.null("limiting_ratio", "nothing-limits")
	}
	f.NotEvaluated = miss.list
	return f
}

type leftoverForm struct {
	Cell   string   `json:"cell"`
	Grade  optional `json:"grade"`
	Reason optional `json:"reason"`
}
