package figure

import (
	"unicode/utf8"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ohmledger/fit"
	"ohmledger/report"
	"ohmledger/report/notation"
)

// circuit is the drawing of the fitted circuit with its values: what stands in series from left to right.
type circuit struct {
	words  *report.Words
	blocks []circuitBlock
}

// circuitBlock is one element in series, or one branch of several in series with a constant-phase element
// in parallel.
type circuitBlock struct {
	title    string
	elements []circuitElement
	parallel *circuitElement
}

// circuitElement is one symbol with its name and its values in words.
type circuitElement struct {
	symbol          symbol
	name, subscript string
	values          []string
}

// Circuit draws the circuit that was fitted to one spectrum, with its values and their standard
// uncertainties. The name is that of what was fitted, such as a cell and its measurement. It needs the whole
// width of a page: values are never cut.
func Circuit(d *report.Document, name string, r *fit.Result) Figure {
	c := newCircuit(d.Words, r)
	height := emptyHeight
	if len(c.blocks) > 0 {
		height = circuitHeight
	}
	return Figure{
		Name:    figureName(name, "circuit"),
		Caption: d.Words.Say("figure.circuit.caption", map[string]any{"Name": name, "Drawn": len(c.blocks) > 0}),
		Width:   figureWidth,
		Height:  height,
		Draw:    c.draw,
	}
}

func newCircuit(w *report.Words, r *fit.Result) *circuit {
	c := &circuit{words: w}
	if r == nil || !fitted(r) {
		return c
	}
	p := r.Parameters
	if p.LeadCoefficient > 0 {
		c.add("leads", nil, circuitElement{coil, "Q", "L", c.say(notation.Henry, r.Inductance, "β", r.InductanceExponent)})
	}
	c.add("ohmic", nil, c.resistor(r, fit.Ohmic, "Ω"))
	if r.Arcs > 1 {
		c.add("film", c.constantPhase("f", r.FilmTimeConstant, r.FilmExponent), c.resistor(r, fit.Film, "f"))
	}
	branch := []circuitElement{c.resistor(r, fit.ChargeTransfer, "ct")}
	if p.Diffusion > 0 {
		branch = append(branch, circuitElement{box, "Z", "d", c.say(notation.OhmPerRootS, r.Warburg, "γ", r.DiffusionExponent)})
	}
	title := "charge-transfer"
	if r.Arcs < 2 {
		title = "arc"
	}
	c.add(title, c.constantPhase("ct", r.ChargeTransferTimeConstant, r.ChargeTransferExponent), branch...)
	return c
}

func (c *circuit) add(title string, parallel *circuitElement, elements ...circuitElement) {
	c.blocks = append(c.blocks, circuitBlock{c.words.Say("figure.circuit."+title, nil), elements, parallel})
}

// resistor with its value, or with the word that it is not resolved.
func (c *circuit) resistor(r *fit.Result, e fit.Element, subscript string) circuitElement {
	v := r.Resistance(e)
	text := c.words.Say("figure.circuit.unresolved", nil)
	if v.Known() {
		text = c.value(v, notation.Ohm)
	}
	return circuitElement{resistance, "R", subscript, []string{text}}
}

// constantPhase is a constant-phase element with the time constant that it makes with its resistance, and
// its exponent.
func (c *circuit) constantPhase(subscript string, timeConstant, exponent fit.Value) *circuitElement {
	e := &circuitElement{symbol: box, name: "CPE", subscript: subscript}
	if timeConstant.Known() {
		e.values = append(e.values, "τ = "+c.value(timeConstant, notation.Second))
	}
	e.values = append(e.values, c.exponent("α", exponent)...)
	return e
}

// say writes a value in its unit, and an exponent of that name.
func (c *circuit) say(u notation.Unit, v fit.Value, name string, exponent fit.Value) []string {
	var values []string
	if v.Known() {
		values = append(values, c.value(v, u))
	}
	return append(values, c.exponent(name, exponent)...)
}

// exponent writes an exponent, or that it was not fitted where it has no uncertainty.
func (c *circuit) exponent(name string, v fit.Value) []string {
	switch {
	case !v.Known():
		return nil
	case v.StandardUncertainty() == 0:
		return []string{c.words.Say("figure.circuit.fixed", name+" = "+c.words.Notation().Short(v.Estimate(), notation.One.Scale()))}
	}
	return []string{name + " = " + c.value(v, notation.One)}
}

// value writes a value with its standard uncertainty, or short where that would be long.
func (c *circuit) value(v fit.Value, u notation.Unit) string {
	const longest = 18 // characters
	n, scale := c.words.Notation(), u.Scale(v)
	if text := n.Value(v, scale); utf8.RuneCountInString(text) <= longest {
		return text
	}
	return n.Short(v.Estimate(), scale)
}

// The height of a drawing in mm, and how far in points its wire lies below the top: two branches with two values each fit
// above and below, and the titles at the foot.
const (
	circuitHeight = 30.5
	circuitRise   = vg.Length(37)
)

// Lengths of the circuit's parts as shares of one element's width.
const (
	leadShare   = 0.35 // wire at either end
	branchShare = 0.25 // wire before and after parallel branches
)

// widths are those of the blocks, in elements.
func (b circuitBlock) width() float64 {
	w := float64(len(b.elements))
	if b.parallel != nil {
		w += 2 * branchShare
	}
	return w
}

func (c *circuit) draw(area draw.Canvas) {
	l := newLettering()
	if len(c.blocks) == 0 {
		nothing(area, l, c.words.Say("figure.circuit.none", nil))
		return
	}
	total := 2 * leadShare
	for _, b := range c.blocks {
		total += b.width()
	}
	const widest = 29 * pointsPerMM
	pen := circuitPen{c: area, text: l, unit: min((area.Max.X-area.Min.X-8)/vg.Length(total), widest)}
	width := pen.unit * vg.Length(total)
	pen.at = vg.Point{X: area.Center().X - width/2, Y: area.Max.Y - circuitRise}
	left := pen.at
	pen.wire(leadShare)
	for _, b := range c.blocks {
		pen.block(b)
	}
	pen.wire(leadShare)
	pen.terminal(left)
	pen.terminal(pen.at)
}
