package health

// survey says of a cell what follows from its judgement.
func (g grounds) survey(s *specimen) {
	s.Grading, s.Values, s.Departures, s.Trend = g.grading(s), g.summary(s), g.departures(s), g.trends(s)
}

// describe says what the cells show together as a lot, where there is more than one.
func (a *Assessment) describe(say Phrase) {
	if a.Cells.Len() < 2 {
		return
	}
	members := make([]LotCell, a.Cells.Len())
	for i := range a.Cells.Len() {
		members[i] = LotCellOf(a.Job, a.Cells.At(i))
	}
	a.Lot = LotOf(a.Job, members, say)
}
