package health

import "context"

// survey says of every cell what follows from its judgement, several cells at a time. The only error is the context's.
func (g grounds) survey(ctx context.Context, cells []*specimen, a *Assessment) error {
	places := make([]int, len(cells))
	for i := range places {
		places[i] = i
	}
	return each(ctx, places, func(i int) {
		s, c := cells[i], &a.Cells[i]
		c.Grading, c.Values, c.Departures, c.Trend = g.grading(s), g.summary(s), g.departures(s), g.trends(s)
	})
}

// describe says what the cells show together as a lot, where there is more than one.
func (a *Assessment) describe(say Phrase) {
	if len(a.Cells) < 2 {
		return
	}
	members := make([]LotCell, len(a.Cells))
	for i := range a.Cells {
		members[i] = LotCellOf(a.Job, &a.Cells[i])
	}
	a.Lot = LotOf(a.Job, members, say)
}
