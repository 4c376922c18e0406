package pdf

import (
	"math"

	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/props"

	"ohmledger/health"
	"ohmledger/report/figure"
	"ohmledger/report/notation"
)

// acceptances are the verdicts whose marks and colours a decision about a delivery has.
var acceptances = [...]health.Verdict{health.Undecided: health.NotEvaluated, health.Accepted: health.Pass, health.Rejected: health.Fail}

// decision says on a tinted ground whether a delivery is accepted, and why.
func (c *composition) decision(i *health.Inspection) {
	if i == nil {
		return
	}
	verdict := acceptances[i.Decision]
	words := c.say("sampling.decision", i.Decision.String())
	p := c.sheet.answer.in(verdictColours[verdict]).props()
	p.Left, p.Top = tallyMark+1.5, p.Top+(tallyHeight-c.sheet.answer.pitch)/2
	room := mm(math.Ceil(c.width(words, c.sheet.answer))) + tallyMark + 8
	why := c.sheet.note.props()
	reason := capitalised(c.literally(i.Reason))
	lines := float64(c.provider.GetLinesQuantity(reason, &why, float64(textWidth-2*tallyInset-room)))
	why.Top += max(0, (tallyHeight-lines*c.sheet.note.pitch)/2)
	why.Bottom += max(0, (tallyHeight-lines*c.sheet.note.pitch)/2)
	r := across(mm(tallyInset).holding(&drawn{height: tallyHeight}),
		room.holding(verdictMark(verdict, tallyMark, tallyHeight/2), text.New(words, p)),
		(textWidth - 2*tallyInset - room).holding(text.New(reason, why)), mm(tallyInset).holding())
	c.add(r.WithStyle(&props.Cell{BackgroundColor: c.sheet.colours.tint}))
}

// inspection is the sampling plan with what it risks, beside its operating characteristic. What was decided stands on
// the first page.
func (c *composition) inspection(i *health.Inspection) {
	if i == nil {
		return
	}
	c.subheading("sampling")
	plan := c.plan(i)
	if len(i.Curve) < 2 {
		c.addEach(c.abreast(pillar{textWidth, plan}))
		return
	}
	drawing := figure.OperatingCharacteristic(c.doc, i)
	drawing.Width = halfWidth
	rows := c.abreast(pillar{textWidth - halfWidth, plan}, pillar{halfWidth, nil})
	caption := c.sheet.small.props()
	caption.Top += drawing.Height + module/2
	rows[0].GetColumns()[1].Add(figurePart(drawing), text.New(drawing.Caption, caption))
	c.add(rows...)
	c.inspectedLimits(i)
}

// plan is what a delivery was sampled by, a line each.
func (c *composition) plan(i *health.Inspection) []item {
	data := c.sampled(i)
	var lines []item
	for _, block := range []string{"standard", "lot", "plan", "found", "risks"} {
		if words := c.say("sampling."+block, data); words != "" {
			lines = append(lines, item{c.label("sampling." + block), c.sheet.label, module / 2}, item{words, c.sheet.note, 0})
		}
	}
	return lines
}

// sampled is a sampling plan in words and numbers.
type sampled struct {
	Variables                           bool
	Standard, Level, Severity           string
	LotSize, SampleSize, Inspected      string // SampleSize is blank where there is no plan
	AQL, Letter, PlanLetter             string // PlanLetter is blank where no arrow led away from Letter
	Acceptance, Rejection               int
	Constant, Largest                   string
	Conforming, Nonconforming, Doubtful string
	Upper                               string // blank where it has none
	Producer, Limiting                  string
}

func (c *composition) sampled(i *health.Inspection) sampled {
	p := func(perCent float64) string { return c.digits(perCent/100, 3, notation.Percent.Scale()) }
	s := sampled{Variables: i.Kind == "variables", Standard: i.Standard, Level: i.Level, Severity: c.doc.Words.Say("pdf.sampling.severity", i.Severity),
		LotSize: c.count(i.LotSize), Inspected: c.count(i.Inspected), AQL: c.percent(i.AQL), Letter: i.CodeLetter,
		Acceptance: i.Acceptance, Rejection: i.Rejection, Conforming: c.count(i.Conforming), Nonconforming: c.count(i.Nonconforming), Doubtful: c.count(i.Doubtful)}
	if i.SampleSize > 0 {
		s.SampleSize = c.count(i.SampleSize)
	}
	if i.PlanLetter != i.CodeLetter {
		s.PlanLetter = i.PlanLetter
	}
	if i.Constant != 0 {
		s.Constant, s.Largest = c.numbers.Fixed(i.Constant, 2, notation.One.Scale()), p(i.LargestPercent)
	}
	if i.UpperPercent > 0 {
		s.Upper = p(i.UpperPercent)
	}
	if i.LimitingPercent > 0 {
		s.Producer, s.Limiting = c.numbers.Percentage(i.ProducersRisk, 1), p(i.LimitingPercent)
	}
	return s
}

// inspectedLimits is the table of a plan by variables: mean and spread of each quantity against its limits.
func (c *composition) inspectedLimits(i *health.Inspection) {
	t := table{columns: []column{
		{head: c.label("lot.quantity"), most: 50}, {head: c.label("sampling.index"), setting: byPoint},
		{head: c.label("sampling.estimated"), setting: byPoint}, {head: c.label("sampling.normality"), setting: byPoint},
		{head: c.label("sampling.decided")}, {head: c.label("reason"), stretch: 1},
	}}
	for _, l := range i.Limits {
		bold := c.sheet.table.bold().in(verdictColours[acceptances[l.Decision]])
		nearest, beyond, p := notation.NotHad, notation.NotHad, notation.NotHad
		if x := nearestLimit(&l); !math.IsInf(x, 1) {
			nearest, beyond = c.numbers.Fixed(x, 2, notation.One.Scale()), c.share(l.PercentBeyond())
		}
		if !math.IsNaN(l.Normality.P) {
			p = c.chance(l.Normality.P)
		}
		record := entries(capitalised(c.doc.Words.Quantity(l.Quantity)), nearest, beyond, p,
			c.say("sampling.decision", l.Decision.String()), capitalised(c.literally(l.Reason)))
		record[4].style = &bold
		t.records = append(t.records, record)
	}
	if len(t.records) > 0 {
		c.space(module)
		c.addTable(t)
	}
}

// nearestLimit is how far the nearer limit is in standard deviations; infinite where the quantity could not be judged.
func nearestLimit(l *health.InspectedLimit) float64 {
	nearest := math.Inf(1)
	for _, q := range []float64{l.IndexLower, l.IndexUpper} {
		if q < nearest { // not so for NaN
			nearest = q
		}
	}
	return nearest
}
