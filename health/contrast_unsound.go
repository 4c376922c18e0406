package health

import (
	"math"
	"slices"
)

// unexplained is what may be left of |Z|, rms per part, when leads and arcs have explained what they can; 3 times the noise of both
// may be in any case.
const unexplained = 0.01

// only says which of the two measurements something holds for; nothing where it holds for both or for none.
func (c *Comparison) only(holds func(q *Quality) bool) (which string, q *Quality) {
	switch a, b := holds(&c.A.Quality), holds(&c.B.Quality); {
	case a && !b:
		return "a", &c.A.Quality
	case b && !a:
		return "b", &c.B.Quality
	}
	return "", nil
}

// seeSameData tells of one measurement under two names.
func seeSameData(c *Comparison) []Fact {
	if !c.same() {
		return nothing
	}
	return seen(count("points", len(c.A.Spectrum.Frequency)))
}

func (c *Comparison) same() bool {
	return len(c.A.Spectrum.Frequency) >= fewestTwinned && sameData(c.A.Spectrum, c.B.Spectrum)
}

// apart is the factor between the middle |Z| of the two; 1 where one has none.
func (c *Comparison) apart() float64 {
	a, b := middling(c.A.Spectrum), middling(c.B.Spectrum)
	if a == 0 || b == 0 {
		return 1
	}
	return max(a/b, b/a)
}

// seeUnit tells of two sizes that no cell has in turn.
func seeUnit(c *Comparison) []Fact {
	if c.apart() < otherUnit {
		return nothing
	}
	return seen(number("a", middling(c.A.Spectrum), Ohm), number("b", middling(c.B.Spectrum), Ohm), number("factor", c.apart(), One))
}

// seeBandContrast tells of a sweep that ends so early that it shows no arc to compare.
func seeBandContrast(c *Comparison) []Fact {
	a, b := lowestFrequency(c.A.Spectrum), lowestFrequency(c.B.Spectrum)
	if max(a, b) <= endsEarly*min(a, b) || c.ArcGrowth.Known() && c.A.Fit.Polarisation.Known() && c.B.Fit.Polarisation.Known() || !c.Comparable {
		return nothing
	}
	with, compared := "b", ""
	if a > b {
		with = "a"
	}
	if c.Shift.Known() {
		compared = "shift"
	}
	return seen(word("with", with), number("ends", max(a, b), Hertz), number("other", min(a, b), Hertz), word("compared", compared),
		uncertain("shift", c.Shift.Estimate(), c.Shift.StandardUncertainty(), Ohm))
}

// seeRejectedContrast tells of measurements that do not count: whatever they differ in, it is no property of the cell.
func seeRejectedContrast(c *Comparison) []Fact {
	rejected := func(q *Quality) bool { return q.Gravest() == Reject }
	with, _ := c.only(rejected)
	switch {
	case with != "":
		return seen(word("with", with))
	case rejected(&c.A.Quality):
		return seen(word("with", "both"))
	}
	return nothing
}

// seeDriftContrast tells of a cell that changed during one of the two sweeps.
func seeDriftContrast(c *Comparison) []Fact {
	const code = "drift-during-sweep"
	with, q := c.only(func(q *Quality) bool { return q.Has(code) })
	if with == "" {
		return nothing
	}
	i := slices.IndexFunc(q.Findings, func(f Finding) bool { return f.Code == code })
	return append(slices.Clone(q.Findings[i].Facts), word("with", with))
}

// unlike reports curves that differ by more than noise in a way that neither leads nor arcs have.
func (c *Comparison) unlike() bool {
	return c.Left > max(unexplained, 3*math.Hypot(c.NoiseA, c.NoiseB))
}

func seeUnexplained(c *Comparison) []Fact {
	if len(c.Differences) > 0 || !c.unlike() {
		return nothing
	}
	return seen(number("left", c.Left, Fraction))
}
