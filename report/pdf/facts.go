package pdf

import (
	"slices"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/core"

	"ohmledger/fit"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// fact is something a report is about, under a label.
type fact struct{ label, text string }

// factColumns is how many facts stand beside one another.
const factColumns = 3

// facts are customer, item, dates, and under what conditions and rule was judged.
func (c *composition) facts() {
	c.space(module)
	list := []fact{
		{"customer", c.joined(c.job.Report.Customer.Name, c.job.Report.Customer.Address, c.job.Report.Customer.Reference)},
		{"item", c.joined(c.job.Report.Item, c.cellType())},
		{"dates", c.sayLines("dates", c.dates())},
		{"conditions", c.sayLines("conditions", c.conditions())},
		{"limits", c.limits()},
		{"rule", c.say("rule."+string(c.job.DecisionRule.Kind), c.ruleData())},
	}
	for group := range slices.Chunk(list, factColumns) {
		rows := c.factRows(group)
		c.addEach(append(rows[:len(rows)-1], ruled(rows[len(rows)-1], c.sheet.colours.hairline, medium)))
		c.space(module / 2)
	}
	if c.job.Report.Remarks != "" {
		c.paragraph(c.label("remarks")+" "+c.literally(c.job.Report.Remarks), c.sheet.note)
	}
}

func (c *composition) factRows(list []fact) []core.Row {
	var pillars []pillar
	for _, f := range list {
		s := c.sheet.note
		if f.text == c.notStated() {
			s = s.slanted().in(c.sheet.colours.quiet)
		}
		pillars = append(pillars, pillar{textWidth / factColumns, []item{
			{c.label(f.label), c.sheet.label, 0}, {f.text, s, 0}, c.roomAboveRule(),
		}})
	}
	return c.abreast(pillars...)
}

// cellType describes the cells in a few words, as the customer states them.
func (c *composition) cellType() string {
	t := c.job.Cell
	return c.sayLines("cell-type", struct{ Maker, Model, Chemistry, Format, Capacity, Voltage, Rated string }{
		c.literally(t.Maker), c.literally(t.Model), c.literally(t.Chemistry), c.literally(t.Format),
		c.positive(t.NominalCapacityAh, notation.AmpereHour),
		c.positive(t.NominalVoltageV, notation.Volt),
		c.positive(t.RatedACResistance1kHzOhm, notation.Ohm),
	})
}

// positive writes a stated value, nothing where it is zero: not stated.
func (c *composition) positive(x float64, u notation.Unit) string {
	if x == 0 {
		return ""
	}
	return c.numbers.Stated(x, u.Scale(fit.NewValue(x, 0)))
}

// dates are the days of the work, as the job states them.
type dates struct{ Received, Tested, Issued string }

func (c *composition) dates() dates {
	r := c.job.Report
	return dates{c.day(r.Received), c.outside(r.Tested), c.day(r.Issued)}
}

// conditions are those under which measurements are comparable.
type conditions struct {
	Reference, From, To, Uncertainty string
	SOC, Tolerance, Rest             string // SOC is blank where the job does not set one
}

func (c *composition) conditions() conditions {
	of := c.job.Conditions
	degrees := func(t float64) string { return c.numbers.Stated(t, notation.Celsius.Scale()) }
	k := conditions{
		Reference: degrees(of.ReferenceTemperatureC), From: degrees(of.TemperatureMinC), To: degrees(of.TemperatureMaxC),
		Uncertainty: degrees(of.TemperatureUncertaintyC),
		Tolerance:   c.percent(of.SOCTolerancePercent), Rest: c.numbers.Stated(of.MinRestMinutes, notation.Minute.Scale()),
	}
	if of.SOCPercent != nil {
		k.SOC = c.percent(*of.SOCPercent)
	}
	return k
}

// percent writes a number that is a percentage already.
func (c *composition) percent(x float64) string {
	return c.numbers.Stated(x, notation.Scale{Symbol: notation.Percent.Symbol})
}

// limits lists the customer's limits, one a line.
func (c *composition) limits() string {
	var list []string
	for _, l := range c.job.Limits {
		list = append(list, c.say("limit", c.limit(l.Quantity, l.Side, l.Bound)))
	}
	if len(list) == 0 {
		return c.say("no-limits", nil)
	}
	if slices.ContainsFunc(c.job.Limits, func(l job.Limit) bool { return isGrowth(l.Quantity) }) {
		list = append(list, c.say("limits.growth", nil))
	}
	return strings.Join(list, "\n")
}

// limit is a limit in words.
type limit struct{ Quantity, Side, Bound string }

func (c *composition) limit(q job.Quantity, s job.Side, bound float64) limit {
	return limit{c.doc.Words.Quantity(q), strings.ReplaceAll(c.doc.Words.Side(s), " ", "\u00a0"), c.bound(q, bound)}
}

// bound writes a limit in the unit of its quantity.
func (c *composition) bound(q job.Quantity, x float64) string {
	return c.numbers.Stated(x, notation.UnitOf(q).Scale(fit.NewValue(x, 0)))
}

// rule is the decision rule's coverage factor, and the greatest probability that a cell passes although
// its true value is just beyond the limit.
// Converse is the greatest probability that one fails although its true value is just within.
// Unstated: a value without a stated uncertainty is judged. Many: the summary has a line for each of many cells. Symbols: its
// heads have the symbols of the charge-transfer or the ohmic resistance. Partly: a cell fails of which a limited quantity could not be
// had. Growths, Direct: the summary shows growths, and other quantities with their expanded uncertainty. Logarithms: growths are judged.
// GradeOnly: a cell has a grade and does not pass the limits of the job.
type rule struct {
	Factor, Risk, Converse string
	Unstated, Many         bool
	Symbols, Partly        bool
	Growths, Direct        bool
	Logarithms, GradeOnly  bool
}

func (c *composition) ruleData() rule {
	k := c.coverage()
	return rule{
		Factor: c.factor(), Risk: c.numbers.Percentage(falsePass(k), 1), Converse: c.numbers.Percentage(1-falsePass(k), 1),
		Unstated: c.shown.unstated, Many: c.lengthy(), Symbols: c.symbolic(), Partly: c.shown.partly, GradeOnly: c.shown.gradeOnly,
		Growths: slices.ContainsFunc(c.shown.quantities, isGrowth), Direct: slices.ContainsFunc(c.shown.quantities, isDirect),
		Logarithms: slices.ContainsFunc(c.job.Limits, func(l job.Limit) bool { return isGrowth(l.Quantity) }),
	}
}

// isDirect reports whether a quantity is shown with its expanded uncertainty: neither a growth nor what the customer states.
func isDirect(q job.Quantity) bool { return !isGrowth(q) && !suppliedByCustomer(q) }

// symbolic reports whether the summary shows a charge-transfer or an ohmic resistance, or the growth of one.
func (c *composition) symbolic() bool {
	return slices.ContainsFunc(c.shown.quantities, func(q job.Quantity) bool {
		return q == job.ChargeTransferGrowth || q == job.OhmicGrowth || q == job.ChargeTransferOhm || q == job.OhmicOhm
	})
}
