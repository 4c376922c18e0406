package health

import "context"

// survey says of every cell what follows from its judgement, several cells at a time, and of all together what they show
// as a lot. The only error is the context's.
func (g grounds) survey(ctx context.Context, cells []*specimen, a *Assessment) error {
	places := make([]int, len(cells))
	for i := range places {
		places[i] = i
	}
	err := each(ctx, places, func(i int) {
		s, c := cells[i], &a.Cells[i]
		c.Grading, c.Values, c.Departures, c.Trend = g.grading(s), g.summary(s), g.departures(s), g.trends(s)
	})
	if err != nil || len(cells) < 2 {
		return err
	}
	members := make([]LotCell, len(a.Cells))
	for i := range a.Cells {
		members[i] = LotCellOf(g.job, &a.Cells[i])
	}
	a.Lot = LotOf(g.job, members, g.say)
	return nil
}
