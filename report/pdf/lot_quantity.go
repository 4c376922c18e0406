package pdf

import (
	"math"
	"strings"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/report/figure"
	"ohmledger/report/notation"
)

// spread shows one quantity of a lot: its histogram beside its probability plot, and below what follows from them.
func (c *composition) spread(q *health.LotQuantity) {
	histogram, probability := figure.Histogram(c.doc, q), figure.ProbabilityPlot(c.doc, q)
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
	switch {
	case p < 0.001:
		return "<\u00a0" + c.numbers.Fixed(0.001, 3, notation.One.Scale())
	case p < 0.01:
		return c.numbers.Fixed(p, 3, notation.One.Scale())
	}
	return c.numbers.Fixed(p, 2, notation.One.Scale())
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
		Least: number(q.Summary.Least), Most: number(q.Summary.Most), Enclosed: c.probability(q.Summary.RangeConfidence)}
	f := described(q)
	if f == nil || q.Adopted < 0 {
		return t
	}
	factor := func(x float64) string { return c.numbers.Fixed(x, 3, notation.One.Scale()) }
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
	const least = 0.01 // a tail is not known better (common practice)
	s := notation.Percent.Scale()
	if perCent < least {
		return "<\u00a0" + c.numbers.Stated(least/100, s)
	}
	return c.digits(perCent/100, 2, s)
}

// index writes a capability index with its interval.
func (c *composition) index(i health.CapabilityIndex) string {
	if !i.Known {
		return ""
	}
	two := func(x float64) string { return c.numbers.Fixed(x, 2, notation.One.Scale()) }
	return c.say("lot.index", struct{ Value, From, To string }{two(i.Value), two(i.Interval.Lower), two(i.Interval.Upper)})
}

// separation is how much of a spread is the measurement's. All are in the quantity's unit, or relative; Measurement and
// what follows from it are blank where no uncertainty is stated, Common where nothing is in common.
type separation struct {
	Observed, Own, From, To, Measurement, Common string
	Cells                                        int
	Reason                                       string
}

func (c *composition) separation(q *health.LotQuantity) *separation {
	of := q.Separation
	if of == nil {
		return nil
	}
	s := scaleOf(q)
	if of.Logarithmic {
		s = notation.Percent.Scale()
	}
	number := func(u float64) string { return c.uncertaintyWithUnit(u, s) }
	text := &separation{Observed: number(of.Observed), Cells: of.Cells, Reason: capitalised(c.literally(of.Reason))}
	if of.Measurement > 0 {
		text.Own, text.From, text.To = number(of.Own), number(of.OwnInterval.Lower), number(of.OwnInterval.Upper)
		text.Measurement = number(of.Measurement)
	}
	if of.Common > 0 {
		text.Common = number(of.Common)
	}
	return text
}

// uncertaintyWithUnit writes a spread to two digits, with its unit.
func (c *composition) uncertaintyWithUnit(u float64, s notation.Scale) string {
	text := c.numbers.Uncertainty(u, s)
	if s.Symbol == "" {
		return text
	}
	return text + "\u00a0" + s.Symbol
}

// valueOf writes a value of a lot's quantity with its standard uncertainty, where it has one, and its unit.
func (c *composition) valueOf(v fit.Value, q *health.LotQuantity) string {
	text := c.spreadNumber(v.Estimate(), q)
	if v.StandardUncertainty() > 0 {
		text = c.numbers.Number(v, scaleOf(q))
	}
	return strings.TrimSpace(text + "\u00a0" + scaleOf(q).Symbol)
}
