package health

import (
	"math"
	"slices"
)

// contrast is one thing in which two measurements of a cell may differ. Its words are the blocks compare.CODE.seen, .size, .likely
// and .do.
type contrast struct {
	code string
	see  func(c *Comparison) []Fact
}

// contrasts are all of them, the most telling first.
var contrasts = []contrast{
	{"same-data", seeSameData},
	{"unit", seeUnit},
	{"not-comparable", seeNotComparable},
	{"rejected", seeRejectedContrast},
	{"band", seeBandContrast},
	{"drift", seeDriftContrast},
	{"wiring", seeWiring},
	{"contact", seeContact},
	{"contact-besides", seeContactBesides},
	{"temperature", seeTemperatureContrast},
	{"charge", seeChargeContrast},
	{"cell-aged", seeAged},
	{"cell-changed", seeCellChanged},
	{"pick-up", seePickUpContrast},
	{"noise", seeNoiseContrast},
	{"inductance", seeInductanceContrast},
	{"unexplained", seeUnexplained},
	{"alike", seeAlike},
}

const (
	shiftMatters      = 0.01  // of the ohmic resistance
	arcMatters        = 0.03  // growth of the arcs
	wiringOhm         = 0.005 // ohm, and
	wiringShare       = 0.20  // of the ohmic resistance, from which leads and not only clips were measured too (common practice: two wires read 0.034 Ω where four read 0.022 Ω)
	noiseTimes        = 2     // and
	noiseMatters      = 0.003 // of |Z|, for the larger
	inductanceMatters = 1e-7  // henry, and
	inductanceShare   = 0.3   // of the larger
	warmerC           = 1     // °C between two stated temperatures
	agedDays          = 7     // between two measurements, from which a cell may have aged
)

// moved reports a shift along the real axis that is sure and matters.
func (c *Comparison) moved() bool {
	s := math.Abs(c.Shift.Estimate())
	return c.Comparable && s > sure*c.Shift.StandardUncertainty() && s > slightOhm && math.Abs(c.ShiftShare) > shiftMatters
}

// grew reports a change of the arcs that is sure and matters.
func (c *Comparison) grew() bool {
	g := math.Abs(c.ArcGrowth.Estimate())
	return c.Comparable && c.ArcGrowth.Known() && g > sure*c.ArcGrowth.StandardUncertainty() && g > arcMatters
}

// rigid reports a shift that the arcs do not share: they kept their size, or the shift is out of all proportion to theirs. So
// it is to what else the curves differ in.
func (c *Comparison) rigid() bool {
	share := math.Abs(c.ShiftShare)
	return c.moved() && (!c.grew() || share > shiftOverArc*math.Abs(c.ArcGrowth.Estimate())) && (!c.unlike() || share > shiftOverArc*c.Left)
}

func seeNotComparable(c *Comparison) []Fact {
	if c.Comparable || c.apart() >= otherUnit {
		return nothing
	}
	return seen(count("needed", fewestCommon))
}

// shiftFacts are what is said of a shift.
func (c *Comparison) shiftFacts() []Fact {
	return seen(uncertain("shift", c.Shift.Estimate(), c.Shift.StandardUncertainty(), Ohm), number("share", c.ShiftShare, Fraction),
		number("arc", arcOr0(c), Fraction), number("inductance_a", c.InductanceA, Henry), number("inductance_b", c.InductanceB, Henry))
}

func arcOr0(c *Comparison) float64 {
	if !c.ArcGrowth.Known() {
		return 0
	}
	return c.ArcGrowth.Estimate()
}

// wired reports whether the shift is the leads': stated so, or too large for clips.
func (c *Comparison) wired() bool {
	a, b := c.A.sensing(), c.B.sensing()
	if a != "" && b != "" {
		return a != b
	}
	return math.Abs(c.Shift.Estimate()) >= wiringOhm && math.Abs(c.ShiftShare) >= wiringShare
}

func seeWiring(c *Comparison) []Fact {
	if !c.rigid() || !c.wired() {
		return nothing
	}
	stated := ""
	if c.A.Row.Sensing != "" && c.B.Row.Sensing != "" {
		stated = "stated"
	}
	return append(c.shiftFacts(), word("sensing", stated))
}

func seeContact(c *Comparison) []Fact {
	if !c.rigid() || c.wired() {
		return nothing
	}
	return c.shiftFacts()
}

// stated differences of the two measurements. Both rows state a temperature only where a job is at hand.
func (c *Comparison) warmed() float64 { return c.B.Row.TemperatureC - c.A.Row.TemperatureC }

func (c *Comparison) charged() bool {
	a, b := c.A.Row.SOCPercent, c.B.Row.SOCPercent
	return socApart(a, b, 1)
}

// older is the number of days from A to B.
func (c *Comparison) older() float64 {
	if c.A.Row.MeasuredAt.IsZero() || c.B.Row.MeasuredAt.IsZero() {
		return 0
	}
	return c.B.Row.MeasuredAt.Sub(c.A.Row.MeasuredAt).Hours() / 24
}

// explained by temperature: arcs shrink where it is warmer.
func (c *Comparison) byTemperature() bool {
	return c.grew() && math.Abs(c.warmed()) >= warmerC && c.warmed()*c.ArcGrowth.Estimate() < 0
}

func seeTemperatureContrast(c *Comparison) []Fact {
	if !c.byTemperature() {
		return nothing
	}
	return append(c.arcFacts(), number("a", c.A.Row.TemperatureC, Celsius), number("b", c.B.Row.TemperatureC, Celsius))
}

func seeChargeContrast(c *Comparison) []Fact {
	if !c.grew() || c.byTemperature() || !c.charged() {
		return nothing
	}
	return append(c.arcFacts(), number("a", *c.A.Row.SOCPercent, PerCent), number("b", *c.B.Row.SOCPercent, PerCent))
}

// aged reports arcs that grew with the ohmic resistance over days.
func (c *Comparison) aged() bool {
	return c.grew() && !c.byTemperature() && !c.charged() && c.older()*c.ArcGrowth.Estimate() > 0 && math.Abs(c.older()) >= agedDays
}

func seeAged(c *Comparison) []Fact {
	if !c.aged() {
		return nothing
	}
	return append(c.arcFacts(), number("days", c.older(), One))
}

func seeCellChanged(c *Comparison) []Fact {
	if !c.grew() || c.byTemperature() || c.charged() || c.aged() {
		return nothing
	}
	return c.arcFacts()
}

// Pick-up that one of the two shows, or a point off so near the mains that it may be.
func seePickUpContrast(c *Comparison) []Fact {
	with, q := c.only(func(q *Quality) bool { return q.hum() != nil })
	if with == "" {
		return nothing
	}
	return append(slices.Clone(q.hum().Facts), word("with", with))
}

// hum is the finding of points that mains may have spoiled; nil where there is none.
func (q *Quality) hum() *Finding {
	for i := range q.Findings {
		f := &q.Findings[i]
		near := slices.ContainsFunc(f.Facts, func(x Fact) bool { return x.Name == "near" && x.Text == "mains" })
		if f.Code == "mains-pick-up" || f.Code == "points-off" && near {
			return f
		}
	}
	return nil
}

func seeNoiseContrast(c *Comparison) []Fact {
	low, high := min(c.NoiseA, c.NoiseB), max(c.NoiseA, c.NoiseB)
	if low == 0 || high < noiseMatters || high < noiseTimes*low || c.A.Quality.Gravest() == Reject || c.B.Quality.Gravest() == Reject {
		return nothing
	}
	return seen(number("a", c.NoiseA, Fraction), number("b", c.NoiseB, Fraction))
}

func seeInductanceContrast(c *Comparison) []Fact {
	low, high := min(c.InductanceA, c.InductanceB), max(c.InductanceA, c.InductanceB)
	if high-low < inductanceMatters || high-low < inductanceShare*high {
		return nothing
	}
	return seen(number("a", c.InductanceA, Henry), number("b", c.InductanceB, Henry))
}

func seeAlike(c *Comparison) []Fact {
	if len(c.Differences) > 0 {
		return nothing
	}
	arcs, warned := "compared", ""
	if !c.ArcGrowth.Known() {
		arcs = ""
	}
	if max(c.A.Quality.Gravest(), c.B.Quality.Gravest()) >= Warning {
		warned = "warned"
	}
	return seen(uncertain("shift", c.Shift.Estimate(), c.Shift.StandardUncertainty(), Ohm), number("left", c.Left, Fraction),
		number("arc", arcOr0(c), Fraction), word("arcs", arcs), word("warned", warned))
}
