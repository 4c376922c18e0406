package pdf

import (
	"math"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
	"ohmledger/report/figure"
	"ohmledger/report/notation"
)

// circuit shows the fitted circuit of the judged measurement with its values, and what the fit left out.
func (c *composition) circuit(cell *health.Cell) {
	m := shownFit(cell)
	if m == nil {
		return
	}
	c.subheading("circuit")
	c.holdParagraph(c.say("fit", c.fitted(m)), c.sheet.note)
	drawing := figure.Circuit(c.doc, cell.Name, m.Fit)
	drawing.Caption = "" // the text above says it
	c.addFigures(drawing)
	for _, sentence := range report.FitIntervals(c.doc.Words, m.Fit) {
		c.paragraph(c.literally(sentence), c.sheet.note)
	}
	for _, d := range m.Fit.Doubts {
		c.paragraph(c.say("doubt", c.literally(d.Text)), c.sheet.note)
	}
}

// shownFit is the measurement whose fit is shown: the judged one, or else the last that has one.
func shownFit(cell *health.Cell) *health.Measurement {
	if m := latest(cell); m != nil && m.Fit != nil {
		return m
	}
	for i := len(cell.Measurements) - 1; i >= 0; i-- {
		if m := &cell.Measurements[i]; m.Fit != nil {
			return m
		}
	}
	return nil
}

// fitted is how a spectrum was fitted.
type fitted struct {
	Date               string
	Used, Measured     int
	Arcs               int
	Residual           string // r.m.s., in % of |Z|
	Status             string
	Exclusions         []exclusion
	TimeConstants      int // of the Kramers–Kronig test, 0 where it could not be made
	Consistency, Worst string
	Fixture            *subtracted // nil where nothing was
}

// exclusion is a reason with the points that were left out for it.
type exclusion struct {
	Points   int
	From, To string
	Reason   string
}

func (c *composition) fitted(m *health.Measurement) fitted {
	f := fitted{
		Date: c.numbers.Date(m.Row.MeasuredAt), Used: m.Fit.PointsUsed, Arcs: m.Fit.Arcs,
		Residual: c.numbers.Percentage(m.Fit.RMSResidual, 2), Status: c.doc.Words.FitStatus(m.Fit.Status),
		Exclusions: c.exclusions(m.Fit),
	}
	if m.Spectrum != nil {
		f.Measured = len(m.Spectrum.Frequency)
	}
	if m.Fixture != nil {
		taken := c.subtracted(m.Fixture)
		f.Fixture = &taken
	}
	if k := m.Quality.KramersKronig; k != nil {
		f.TimeConstants = k.TimeConstants
		f.Consistency, f.Worst = c.numbers.Percentage(k.RMSResidual, 2), c.numbers.Percentage(k.MaxResidual, 2)
	}
	return f
}

// exclusions gathers the points left out by their reasons, in the order of the spectrum.
func (c *composition) exclusions(r *fit.Result) []exclusion {
	type band struct {
		reason    string
		low, high float64
		points    int
	}
	var bands []band
	for _, e := range r.Excluded {
		at := len(bands) - 1
		for at >= 0 && bands[at].reason != e.Reason {
			at--
		}
		if at < 0 {
			bands = append(bands, band{e.Reason, e.FrequencyHz, e.FrequencyHz, 1})
			continue
		}
		b := &bands[at]
		b.low, b.high, b.points = min(b.low, e.FrequencyHz), max(b.high, e.FrequencyHz), b.points+1
	}
	list := make([]exclusion, len(bands))
	for i, b := range bands {
		list[i] = exclusion{b.points, c.frequency(b.low), c.frequency(b.high), c.literally(b.reason)}
	}
	return list
}

// frequency writes a frequency to three digits.
func (c *composition) frequency(hertz float64) string {
	return c.digits(hertz, 3, notation.Hertz.Scale(fit.NewValue(hertz, 0)))
}

// digits writes a number to so many significant digits, with its unit.
func (c *composition) digits(x float64, n int, s notation.Scale) string {
	lead := 0
	if x != 0 {
		lead = int(math.Floor(math.Log10(math.Abs(x)) - float64(s.Power) + 1e-9))
	}
	return strings.TrimSpace(c.numbers.Fixed(x, max(0, n-1-lead), s) + "\u00a0" + s.Symbol)
}
