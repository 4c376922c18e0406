package health

import (
	"math"

	"ohmledger/fit"
	"ohmledger/health/job"
)

// outcome is a quantity of one measurement as it was had, or the statement that says why it was not.
type outcome struct {
	value         fit.Value
	logU          float64 // standard uncertainty of ln value, where the quantity is a ratio of resistances
	contributions []Contribution
	unstated      bool // nobody states the value's uncertainty, which therefore is not zero but unknown
	reason        Statement
}

// growth of the sum of resistances over the same sum of the baseline, at the baseline's temperature.
func (g grounds) growth(s *specimen, i int, q job.Quantity, parts ...resistance) outcome {
	m := &s.Measurements[i]
	if why := m.rejection(); why.says() {
		return outcome{reason: why}
	}
	if why := m.touching(q); why.says() {
		return outcome{reason: why}
	}
	var here, there []logarithm
	for _, r := range parts {
		if why := g.incomparable(s, i, r); why.says() {
			return outcome{reason: why}
		}
		reading, why := g.reading(s, i, r, asMeasured)
		if why.says() {
			return outcome{reason: why}
		}
		reading = s.withExcitation(reading, i, r, s.compared())
		a := g.energies[r]
		bend := a.curved(m.Row.TemperatureC, s.footing.levels[r].celsius)
		here = append(here, a.at(reading, s.footing.TemperatureC).with(bend))
		there = append(there, a.at(s.footing.levels[r].log, s.footing.TemperatureC))
	}
	l := s.withMisfit(total(here).plus(-1, total(there)))
	if u := l.misfit(); u > growthResolvedWithin {
		return outcome{reason: because("growth-not-resolved", parts[0].fact(), number("uncertainty", u, Fraction))}
	}
	return ratio(l, s.covariance)
}

// growthResolvedWithin is the largest relative standard uncertainty from the circuit's misfit, the division of the arcs
// among its causes, at which a growth still counts as measured: the same as for a resistance (package fit). Beyond it a
// verdict would judge the circuit and not the cell.
const growthResolvedWithin = 0.35

// misfit is the standard uncertainty that the circuit's misfit gives a logarithm.
func (l logarithm) misfit() float64 {
	square := 0.0
	for _, e := range l.effects {
		if e.source == circuitMisfit {
			square += e.size * e.size
		}
	}
	return math.Sqrt(square)
}

// withMisfit adds what the circuit's misfit gives a ratio beyond the difference of how it weighs in both, which the
// readings carry already: how far the ratio moves when the exponents that a history shares may drift.
func (s *specimen) withMisfit(l logarithm) logarithm {
	for _, here := range l.fits {
		if here.source != asMeasured.fit {
			continue
		}
		all, weighs := 0.0, 0.0
		for _, there := range l.fits {
			if there.source == asBaseline.fit && there.element == here.element {
				all -= there.weight * s.misfit(here.spectrum, there.spectrum, here.element)
			}
		}
		for _, e := range l.effects {
			if e.input == "circuit/"+here.element.String() {
				weighs = e.size
			}
		}
		if rest := all*all - weighs*weighs; rest > 0 {
			l = l.with(effect{circuitMisfit, "exponents/" + here.element.String(), math.Sqrt(rest), false})
		}
	}
	return l
}

// incomparable says why a resistance of a measurement cannot be compared with its baseline; nothing where it can.
func (g grounds) incomparable(s *specimen, i int, r resistance) Statement {
	level, row := s.footing.levels[r], s.Measurements[i].Row
	for _, k := range append([]int{i}, s.compared()...) {
		if why := s.Measurements[k].overdriven(r); why.says() {
			return why
		}
	}
	switch {
	case level.reason.says():
		return level.reason
	case r == chargeTransfer && s.footing.arcs != 0 && s.footing.arcs != s.Arcs:
		return because("arcs-differ", count("arcs", s.Arcs), count("baseline", s.footing.arcs))
	case g.energies[r].apart(row.TemperatureC, row.TemperatureUncertaintyC, level.celsius, level.uncertaintyC):
		return because("temperatures-differ", number("at", row.TemperatureC, Celsius), number("baseline", level.celsius, Celsius), r.fact())
	}
	return Statement{}
}

// total is the logarithm of a sum of resistances given by their logarithms, each effect by its part's share of the sum.
func total(parts []logarithm) (sum logarithm) {
	if len(parts) == 1 {
		return parts[0]
	}
	ohm := 0.0
	for _, p := range parts {
		ohm += math.Exp(p.value)
	}
	for _, p := range parts {
		sum = sum.plus(math.Exp(p.value)/ohm, p)
	}
	sum.value = math.Log(ohm)
	return sum
}

// ratio leaves the logarithm of a growth.
func ratio(l logarithm, cov covariance) outcome {
	u, budget := l.uncertainty(cov)
	growth := math.Exp(l.value)
	v, ok := finite(growth, growth*u)
	if !ok || growth == 0 {
		return outcome{reason: because("growth-impossible", uncertain("logarithm", l.value, u, One))}
	}
	return outcome{value: v, logU: u, contributions: budget}
}

// asGrowth hands an outcome out.
func (o outcome) asGrowth(say Phrase) Growth {
	return Growth{o.value, o.logU, o.contributions, say.reason(o.reason), o.reason}
}
