package pdf

import (
	"cmp"
	"slices"

	"github.com/johnfercher/maroto/v2/pkg/core"

	"ohmledger/fit"
	"ohmledger/health"
	"ohmledger/health/job"
	"ohmledger/report/notation"
)

// method is how was measured, fitted, corrected and judged, in words and symbols.
func (c *composition) method() {
	c.section("method")
	c.sided("measurement", c.say("method.measurement", c.instrument()))
	c.sided("circuit-model", c.say("method.circuit", nil))
	c.equations("method.equation", "method.diffusion")
	c.sided("", c.say("method.symbols", c.modelData()))
	c.sided("fit", c.say("method.fit", nil))
	c.sided("consistency", c.say("method.consistency", nil))
	c.sided("temperature-correction", c.say("method.temperature."+string(cmp.Or(c.job.TemperatureCorrection.Source, job.CorrectionNone)), c.temperature()))
	c.activations()
	c.sided("baseline", c.say("method.baseline", c.source(c.job.Baseline.Source)))
	c.sided("quantities", c.quantities())
	c.sided("uncertainty", c.say("method.uncertainty", c.ruleData()))
	c.sided("decision-rule", c.say("method.rule."+string(c.job.DecisionRule.Kind), c.ruleData()))
	c.lotMethod()
}

// section begins a part of the report that is not a cell's.
func (c *composition) section(name string) {
	c.space(4 * module)
	c.hold(
		full(c.target("", c.say("bookmark."+name, nil), 0)),
		ruled(full(c.sheet.heading.set(c.label(name))), c.sheet.colours.accent, strong),
	)
	c.space(module)
}

// sided sets a paragraph beside its side head. An empty name continues the one above.
func (c *composition) sided(name, text string) {
	head := item{}
	if name != "" {
		head = item{c.label(name), c.sheet.sideHead, 0}
		c.space(module / 2)
	}
	c.beside(head, sideHead, text, c.sheet.note)
}

// equations are set apart, one a line, all on one page.
func (c *composition) equations(blocks ...string) {
	const inset = 6
	var rows []core.Row
	for _, b := range blocks {
		rows = append(rows, empty(module/2),
			across(mm(sideHead+inset).holding(), mm(textWidth-sideHead-inset).holding(c.sheet.equation.set(c.say(b, nil)))))
	}
	c.add(rows...)
	c.space(module / 2)
}

// instrument is what was measured with.
type instrument struct{ Name, CalibrationDue, Relative, Absolute, Coldest, Warmest, TemperatureU string } // Coldest is blank where all were alike

func (c *composition) instrument() instrument {
	i := c.job.Instrument
	k := instrument{
		Name: c.outside(i.Name), CalibrationDue: c.day(i.CalibrationDue),
		Relative: c.numbers.Stated(i.RelativeUncertainty, notation.Percent.Scale()),
		Absolute: c.numbers.Stated(i.AbsoluteUncertaintyOhm, notation.Ohm.Scale(fit.NewValue(i.AbsoluteUncertaintyOhm, 0))),
	}
	if low, high, any := temperatures(c.doc.Assessment); any {
		degrees := notation.Celsius.Scale()
		k.Coldest, k.Warmest = c.numbers.Fixed(low, 1, degrees), c.numbers.Fixed(high, 1, degrees)
		if k.Coldest == k.Warmest {
			k.Coldest = ""
		}
		k.Warmest += "\u00a0" + degrees.Symbol
	}
	return k
}

// temperatures between which the cells were measured, in °C.
func temperatures(a *health.Assessment) (low, high float64, any bool) {
	for i := range a.Cells.Len() {
		for _, m := range a.Cells.At(i).Measurements {
			t := m.Row.TemperatureC
			if !any {
				low, high, any = t, t, true
			}
			low, high = min(low, t), max(high, t)
		}
	}
	return low, high, any
}

// modelData says which arcs the report's circuits have.
type modelData struct{ One, Two bool }

func (c *composition) modelData() (d modelData) {
	for _, cell := range c.doc.Assessment.Cells.All() {
		d.One = d.One || cell.Arcs == 1
		d.Two = d.Two || cell.Arcs == 2
	}
	return d
}

// temperature is the correction in force.
type temperature struct{ Ohmic, ChargeTransfer, Note, Reference string }

func (c *composition) temperature() temperature {
	of := c.doc.Assessment.Temperature
	energy := func(v fit.Value) string {
		if !v.Known() {
			return ""
		}
		return c.numbers.Value(v, notation.KilojouleMole.Scale())
	}
	return temperature{energy(of.Ohmic), energy(of.ChargeTransfer), c.literally(of.Note), c.conditions().Reference}
}

// activations is the table of the temperature series from which activation energies were measured.
func (c *composition) activations() {
	t := table{columns: []column{
		{head: c.label("cell"), most: 40}, {head: c.label("resistance")}, {head: c.label("activation-energy"), setting: byPoint},
		{head: c.label("points"), setting: rightward}, {head: c.label("series-residual"), setting: rightward}, {head: c.label("reason"), stretch: 1},
	}}
	for _, s := range c.doc.Assessment.Temperature.Series {
		t.records = append(t.records, entries(
			c.literally(s.Cell), c.label(elementKey(s.Element)), c.numbers.Number(s.ActivationEnergy, notation.KilojouleMole.Scale()),
			c.numbers.Fixed(float64(len(s.Points)), 0, notation.One.Scale()), c.numbers.Fixed(s.RMSResidual, 3, notation.One.Scale()), c.literally(s.Reason),
		))
	}
	if len(t.records) > 0 {
		c.space(module)
		c.addTable(t.omit(notation.NotHad))
		c.space(module)
	}
}

func elementKey(e fit.Element) string {
	return [...]string{"element.ohmic", "element.film", "element.charge-transfer", "element.polarisation"}[e]
}

// quantities says how those are had that a limit names and a fit does not give.
func (c *composition) quantities() string {
	text, at := c.say("method.growth", nil), c.correctedTo(job.ACResistance1kHzOhm)
	for _, q := range job.Quantities {
		block := "method.quantity." + string(q)
		if c.limited(q) && c.doc.Words.Has("pdf."+block) {
			text += " " + c.say(block, at)
		}
	}
	return text
}

// correctedTo is the temperature that a resistance in ohms is judged at, and whether it is carried there with the activation
// energy of another one, the ohmic resistance.
type correctedTo struct {
	Reference string // blank: the quantity is judged as it is
	Ohmic     bool
}

func (c *composition) correctedTo(q job.Quantity) (to correctedTo) {
	switch q {
	case job.ACResistance1kHzOhm:
		to.Ohmic = cmp.Or(c.job.TemperatureCorrection.Source, job.CorrectionNone) != job.CorrectionNone
	case job.OhmicOhm, job.ChargeTransferOhm:
	default:
		return to
	}
	to.Reference = c.conditions().Reference
	return to
}

// limited reports whether the job has a limit for a quantity.
func (c *composition) limited(q job.Quantity) bool {
	return slices.ContainsFunc(c.job.Limits, func(l job.Limit) bool { return l.Quantity == q })
}
