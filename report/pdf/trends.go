package pdf

import (
	"ohmledger/health"
	"ohmledger/report"
)

// trends are where a cell's growth leads: opinions, kept apart from results.
func (c *composition) trends(cell *health.Cell) {
	if len(cell.Trend) == 0 {
		return
	}
	c.subheading("opinion")
	for i := range cell.Trend {
		c.paragraph(c.say("trend", c.trend(&cell.Trend[i])), c.sheet.note)
	}
}

// trend is a trend in words; Crossing is blank where the trend does not meet its limit.
type trend struct {
	Quantity, Against, Per, Law, Rate string
	Crossing, Earliest, Latest        string
	Reason                            string
}

func (c *composition) trend(t *health.Trend) trend {
	words := trend{
		Quantity: capitalised(c.doc.Words.Quantity(t.Quantity)), Against: c.say("against."+t.Against, nil), Per: c.say("per."+t.Against, nil),
		Law: c.literally(t.Law), Reason: capitalised(c.literally(t.Reason)),
	}
	if t.Rate.Known() {
		words.Rate = c.numbers.Value(t.Rate, report.One.Scale())
	}
	if x := t.Crosses; x != nil {
		whole := func(v float64) string { return c.numbers.Fixed(v, 0, report.One.Scale()) }
		words.Crossing, words.Earliest, words.Latest = whole(x.Value), whole(x.Lower95), whole(x.Upper95)
	}
	return words
}
