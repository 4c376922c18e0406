package pdf

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report"
)

// spread shows one quantity of a lot: its histogram beside its probability plot, and below what follows from them.
func (c *composition) spread(q *health.LotQuantity) {
	histogram, probability := report.Histogram(c.doc, q), report.ProbabilityPlot(c.doc, q)
	histogram.Width, probability.Width = halfWidth, halfWidth
	histogram.Caption, probability.Caption = "", ""
	c.space(2 * module)
	c.hold(full(c.sheet.subheading.set(capitalised(c.doc.Words.Quantity(q.Quantity)))))
	c.addFigures(histogram, probability)
	c.sided("lot.distribution", c.say("lot.distribution", c.distribution(q)))
	c.sided("lot.tolerance", c.say("lot.tolerance", c.tolerance(q)))
	if of := c.capability(q); of != nil {
		c.sided("lot.capability", c.say("lot.capability", of))
	}
	if of := c.separation(q); of != nil {
		c.sided("lot.separation", c.say("lot.separation", of))
	}
}

// distribution is what describes a lot's quantity.
type distribution struct {
	Adopted                        string // key of the law that describes the lot; blank: none, or not known
	Tested                         bool
	NormalP, LognormalP            string // probabilities of the test; blank: not made
	MeanFrom, MeanTo, MedianFrom   string // 95 %; the median's are blank where there are too few cells
	MedianTo, SpreadFrom, SpreadTo string
	Unit                           string
}

func (c *composition) distribution(q *health.LotQuantity) distribution {
	s := scaleOf(q)
	d := distribution{Unit: s.Symbol}
	number := func(x float64) string { return c.numbers.Fixed(x, s.Decimals(spreadOf(q)), s) }
	d.MeanFrom, d.MeanTo = number(q.Summary.MeanInterval.Lower), number(q.Summary.MeanInterval.Upper)
	if m := q.Summary.MedianInterval; !math.IsInf(m.Lower, 0) && !math.IsInf(m.Upper, 0) {
		d.MedianFrom, d.MedianTo = number(m.Lower), number(m.Upper)
	}
	of := q.Summary.StandardDeviationInterval
	d.SpreadFrom, d.SpreadTo = c.numbers.Uncertainty(of.Lower, s), c.numbers.Uncertainty(of.Upper, s)
	for i, f := range q.Fits {
		if math.IsNaN(f.Normality.P) {
			continue
		}
		d.Tested = true
		p := &d.NormalP
		if f.Law == "lognormal" {
			p = &d.LognormalP
		}
		*p = c.chance(f.Normality.P)
		if i == q.Adopted {
			d.Adopted = f.Law
		}
	}
	return d
}

// chance writes the probability of a test, without claiming that it is nought.
func (c *composition) chance(p float64) string {
	if p < 0.001 {
		return "< " + c.numbers.Fixed(0.001, 3, report.One.Scale())
	}
	return c.numbers.Fixed(p, 2, report.One.Scale())
}

// described is the distribution that a lot is judged by: the one that describes it, or else the first.
func described(q *health.LotQuantity) *health.DistributionFit {
	if len(q.Fits) == 0 {
		return nil
	}
	return &q.Fits[max(q.Adopted, 0)]
}

// tolerance is where cells of the population lie; Law is blank where no distribution describes the lot: what least and
// most enclose then holds for any.
type tolerance struct {
	Law                          string
	Content, Confidence          string
	From, To, Above, Below, Unit string
	Factor, OneSided             string // by which the standard deviation was multiplied
	Least, Most, Enclosed        string
}

func (c *composition) tolerance(q *health.LotQuantity) tolerance {
	s := scaleOf(q)
	number := func(x float64) string { return c.spreadNumber(x, q) }
	t := tolerance{Unit: s.Symbol, Content: c.perCent(0.95), Confidence: c.perCent(0.95),
		Least: number(q.Summary.Least), Most: number(q.Summary.Most), Enclosed: c.numbers.Percentage(q.Summary.RangeConfidence, 1)}
	f := described(q)
	if f == nil || q.Adopted < 0 {
		return t
	}
	factor := func(x float64) string { return c.numbers.Fixed(x, 3, report.One.Scale()) }
	t.Law, t.Content, t.Confidence = f.Law, c.perCent(f.Tolerance.Content), c.perCent(f.Tolerance.Confidence)
	t.From, t.To = number(f.Tolerance.Lower), number(f.Tolerance.Upper)
	t.Above, t.Below = number(f.LowerTolerance.Lower), number(f.UpperTolerance.Upper)
	t.Factor, t.OneSided = factor(f.Tolerance.Factor), factor(f.UpperTolerance.Factor)
	return t
}

// capability is a lot's spread against its limits.
type capability struct {
	Law                  string
	Cp, Cpk              string // with their intervals; Cp is blank where only one side is limited
	Exact                bool
	Beyond, Cells        int    // cells beyond a limit, of so many
	Estimated            string // per cent beyond, by the distribution
	Described            bool   // the distribution describes the lot
	Upper, Lower, Single bool   // which sides are limited
}

func (c *composition) capability(q *health.LotQuantity) *capability {
	f := described(q)
	if f == nil || f.Capability == nil {
		return nil
	}
	of := f.Capability
	k := capability{Law: f.Law, Cp: c.index(of.Cp), Cpk: c.index(of.Cpk), Exact: of.Cpk.Exact, Cells: q.Summary.Count, Described: q.Adopted >= 0,
		Estimated: c.share(of.PercentBelow + of.PercentAbove), Upper: of.CpkUpper.Known, Lower: of.CpkLower.Known}
	for _, n := range q.BeyondLimits {
		k.Beyond += n
	}
	return &k
}

// share writes a percentage of cells that is estimated, to two digits.
func (c *composition) share(perCent float64) string {
	const least = 1e-4
	s := report.Percent.Scale()
	if perCent < least {
		return "< " + c.numbers.Stated(least/100, s)
	}
	return c.digits(perCent/100, 2, s)
}

// index writes a capability index with its interval.
func (c *composition) index(i health.CapabilityIndex) string {
	if !i.Known {
		return ""
	}
	two := func(x float64) string { return c.numbers.Fixed(x, 2, report.One.Scale()) }
	return c.say("lot.index", struct{ Value, From, To string }{two(i.Value), two(i.Interval.Lower), two(i.Interval.Upper)})
}

// separation is how much of a spread is the measurement's. All are in the quantity's unit, or relative.
type separation struct {
	Observed, Own, From, To, Measurement, Share, Common string
	Cells                                               int
	Reason                                              string
}

func (c *composition) separation(q *health.LotQuantity) *separation {
	of := q.Separation
	if of == nil {
		return nil
	}
	s := scaleOf(q)
	if of.Logarithmic {
		s = report.Percent.Scale()
	}
	number := func(u float64) string { return c.uncertaintyWithUnit(u, s) }
	return &separation{Observed: number(of.Observed), Own: number(of.Own), From: number(of.OwnInterval.Lower), To: number(of.OwnInterval.Upper),
		Measurement: number(of.Measurement), Share: c.perCent(of.Share), Common: number(of.Common), Cells: of.Cells, Reason: capitalised(c.literally(of.Reason))}
}

// uncertaintyWithUnit writes a spread to two digits, with its unit.
func (c *composition) uncertaintyWithUnit(u float64, s report.Scale) string {
	text := c.numbers.Uncertainty(u, s)
	if s.Symbol == "" {
		return text
	}
	return text + "\u00a0" + s.Symbol
}

// valueOf writes a value of a lot's quantity with its standard uncertainty.
func (c *composition) valueOf(v fit.Value, q *health.LotQuantity) string {
	return c.numbers.Number(v, scaleOf(q))
}

// outliers is the table of cells that stand out, with what was measured about each.
func (c *composition) outliers(l *health.Lot) {
	t := table{columns: []column{
		{head: c.label("cell"), most: 34}, {head: c.label("lot.group"), most: 20}, {head: c.label("lot.outlying"), most: 50}, {head: c.label("lot.value"), setting: rightward},
		{head: c.label("lot.modified-z"), setting: byPoint, least: 14}, {head: c.label("lot.deviate"), setting: byPoint},
		{head: c.label("lot.own-uncertainties"), setting: byPoint, least: 12}, {head: c.label("lot.others"), stretch: 1},
	}}
	for i := range l.Quantities {
		for _, o := range l.Quantities[i].Outliers.Cells {
			t.records = append(t.records, c.outlierRecord(&l.Quantities[i], o))
		}
	}
	if len(t.records) == 0 {
		return
	}
	const most = 60
	left := len(t.records) - most
	t.records = t.records[:min(len(t.records), most)]
	c.subheading("lot.outliers")
	t.note = c.say("lot.outliers-note", struct{ More int }{max(0, left)})
	c.addTable(t.omit(""))
}

func (c *composition) outlierRecord(q *health.LotQuantity, o health.Outlier) []entry {
	one := func(x float64) string {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return report.NotHad
		}
		return c.numbers.Fixed(x, 1, report.One.Scale())
	}
	s := scaleOf(q)
	value := c.valueOf(o.Value, q)
	if s.Symbol != "" {
		value += "\u00a0" + s.Symbol
	}
	deviate := report.NotHad
	if !math.IsNaN(o.Deviate) {
		deviate = c.say("lot.deviate-of", struct {
			Deviate, Limit string
			Beyond         bool
		}{one(o.Deviate), one(o.DeviateLimit), o.ByDeviate})
	}
	return entries(c.literally(o.Cell), c.literally(o.Group), capitalised(c.doc.Words.Quantity(q.Quantity)), value,
		one(o.ModifiedZ), deviate, one(o.Uncertainties), c.about(o))
}

// about is where an outlier stands in other quantities, and what was found about its measurement.
func (c *composition) about(o health.Outlier) string {
	var others []string
	for _, q := range o.Others {
		if !math.IsNaN(q.ModifiedZ) {
			others = append(others, c.say("lot.other", struct{ Quantity, Z string }{c.doc.Words.Quantity(q.Quantity), c.numbers.Fixed(q.ModifiedZ, 1, report.One.Scale())}))
		}
	}
	return c.say("lot.about", struct {
		Others, Findings []string
		Verdict          string
	}{others, o.Findings, c.doc.Words.Verdict(o.Verdict)})
}
