package pdf

import (
	"math"
	"slices"
	"strings"
	"time"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/figure"
	"ohmledger/report/notation"
)

// trends are where a cell's quantities lead: opinions, kept apart from results.
func (c *composition) trends(cell *health.Cell) {
	if len(cell.Trend) == 0 {
		return
	}
	c.subheading("opinion")
	if slices.ContainsFunc(cell.Trend, leads) {
		c.holdParagraph(c.say("opinion", nil), c.sheet.note)
	}
	var drawings []figure.Figure
	var others []string
	for i := range cell.Trend {
		t := &cell.Trend[i]
		switch {
		case figure.Forecastable(t):
			f := figure.Forecast(c.doc, cell, i)
			f.Caption = c.say("opinion.trend", c.trend(cell, t))
			f.Height -= min(c.give, mostOfCourse) / 2
			drawings = append(drawings, f)
		case leads(*t):
			others = append(others, c.say("opinion.trend", c.trend(cell, t)))
		default:
			others = append(others, c.untold(cell.Trend, i)...)
		}
	}
	c.addFigures(sideBySide(drawings)...)
	for _, words := range others {
		c.paragraph(words, c.sheet.note)
	}
}

// leads reports whether a trend leads anywhere: a law describes its course.
func leads(t health.Trend) bool { return t.Law != "" || t.Crosses != nil }

// untold says why the i-th trend, and others for the same reason, lead nowhere; nothing where one before it has said so.
func (c *composition) untold(list []health.Trend, i int) []string {
	var quantities []string
	for k := range list {
		if leads(list[k]) || list[k].Reason != list[i].Reason {
			continue
		}
		if k < i {
			return nil
		}
		quantities = append(quantities, c.doc.Words.Quantity(list[k].Quantity))
	}
	return []string{c.say("opinion.untold", struct {
		Quantities []string
		Reason     string
	}{quantities, capitalised(c.literally(list[i].Reason))})}
}

// sideBySide gives drawings the width with which two or three of them fill the page.
func sideBySide(drawings []figure.Figure) []figure.Figure {
	const gap = 4.
	n := float64(min(max(len(drawings), 2), 3))
	for i := range drawings {
		drawings[i].Width = (textWidth - gap*(n-1)) / n
	}
	return drawings
}

// trend is a trend in words; what is not known is blank.
type trend struct {
	Quantity            string
	Law, Rate, Per      string
	Against             string
	Crossing, From, To  string // To is blank where the interval goes on
	Reason              string // why there is no crossing
	Points, Later, Held int    // of the trial
	Missed              bool   // the trial held fewer than it should
}

func (c *composition) trend(cell *health.Cell, t *health.Trend) trend {
	words := trend{Quantity: capitalised(c.doc.Words.Quantity(t.Quantity)), Against: t.Against, Reason: capitalised(c.literally(t.Reason))}
	c.addLaw(&words, t)
	if x := t.Crosses; x != nil {
		words.Crossing, words.From = c.place(cell, t, x.Value), c.place(cell, t, x.WithShared.Lower)
		if !math.IsInf(x.WithShared.Upper, 1) {
			words.To = c.place(cell, t, x.WithShared.Upper)
		}
	}
	if t.Course != nil && t.Course.Trial != nil {
		trial := t.Course.Trial
		words.Points, words.Later, words.Held, words.Missed = trial.Points, trial.Later, trial.Held, trial.Missed()
	}
	return words
}

// addLaw names the law that describes a course best, and how fast it goes at its end.
func (c *composition) addLaw(words *trend, t *health.Trend) {
	if t.Law != "" {
		words.Law = capitalised(c.say("law."+strings.ReplaceAll(t.Law, " ", "-"), nil))
	}
	if t.Rate.Known() {
		step := report.RateStep(t)
		v := fit.NewValue(t.Rate.Estimate()*step, t.Rate.StandardUncertainty()*step)
		words.Rate, words.Per = c.numbers.Value(v, notation.UnitOf(t.Quantity).Scale(v)), c.numbers.Stated(step, notation.One.Scale())
	}
}

// place on a trend's axis, days as the date that they lead to.
func (c *composition) place(cell *health.Cell, t *health.Trend, x float64) string {
	text := ""
	if t.Against == "days" {
		first := cell.Measurements[t.Course.Points[0].Measurement].Row.MeasuredAt
		const most = 1e5 // a time.Duration has no more days
		text = c.numbers.Date(first.Add(time.Duration(min(max(x, -most), most) * float64(24*time.Hour))))
	} else {
		text = c.numbers.Fixed(x, 0, notation.One.Scale())
	}
	return c.say("opinion.place", struct{ Against, Place string }{t.Against, text})
}
