package health

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"ohmledger/health/job"
)

// reference is the footing of a group of cells: mean and spread of their own first measurements, at the
// reference temperature. What a cell was when new is not known but for that spread, so the spread counts whole
// and not divided by the number of cells.
func (g grounds) reference(cells []*specimen) *footing {
	group, missing := g.referenceGroup(cells)
	if len(group) == 0 {
		return unfounded(job.ReferenceCells, append([]Statement{because("reference-none")}, missing...)...)
	}
	f := &footing{Baseline: Baseline{Source: job.ReferenceCells}}
	f.gather(group)
	for r := range resistanceCount {
		f.levels[r] = g.referenceLevel(group, r, f.arcs)
	}
	f.TemperatureC, f.TemperatureUncertaintyC = g.referenceTemperature(f)
	f.Statements = append([]Statement{referenceNote(len(group))}, missing...)
	g.stated(f, nil)
	return f
}

// referenceGroup are the named cells that have a first measurement of their own; missing says which have none.
func (g grounds) referenceGroup(cells []*specimen) (group []member, missing []Statement) {
	var without []string
	for _, name := range g.job.Baseline.Cells {
		i := slices.IndexFunc(cells, func(s *specimen) bool { return s.Name == name })
		if i < 0 {
			without = append(without, name)
			continue
		}
		f := g.first(cells[i])
		if len(f.Measurements) == 0 {
			without = append(without, name)
			continue
		}
		group = append(group, member{cells[i], f})
	}
	if len(without) > 0 {
		missing = []Statement{because("reference-missing", word("cells", strings.Join(without, ", ")))}
	}
	return group, missing
}

// member is a reference cell with its own footing.
type member struct {
	*specimen
	own *footing
}

// gather takes from the members what they have in common.
func (f *footing) gather(group []member) {
	f.MeasuredAt, f.arcs = group[0].own.MeasuredAt, group[0].own.arcs
	f.sensing, f.instrument, f.fixture = group[0].own.sensing, group[0].own.instrument, group[0].own.fixture
	soc, known := 0.0, true
	for _, m := range group {
		f.Cells = append(f.Cells, m.Name)
		if m.own.MeasuredAt.Before(f.MeasuredAt) {
			f.MeasuredAt = m.own.MeasuredAt
		}
		if m.own.sensing != f.sensing {
			f.sensing = ""
		}
		if m.own.instrument != f.instrument {
			f.instrument = ""
		}
		if m.own.fixture != f.fixture {
			f.fixture = ""
		}
		if known = known && m.own.SOCPercent != nil; known {
			soc += *m.own.SOCPercent / float64(len(group))
		}
	}
	if known {
		f.SOCPercent = &soc
	}
}

// referenceLevel is mean and spread of one resistance over the group. Errors that the cells do not share show in
// their spread and are not counted twice; what they share is carried along.
func (g grounds) referenceLevel(group []member, r resistance, arcs int) level {
	var why Statement
	var used []level
	for _, m := range group {
		own, reason := m.own.levels[r], m.own.levels[r].reason
		if r == chargeTransfer && m.own.arcs != arcs {
			reason = because("reference-arcs-differ")
		}
		if !reason.says() && len(used) > 0 && g.energies[r].apart(own.celsius, own.uncertaintyC, used[0].celsius, used[0].uncertaintyC) {
			reason = because("reference-temperatures-differ")
		}
		if reason.says() {
			why = reason
			continue
		}
		used = append(used, own)
	}
	if len(used) < 2 {
		return level{reason: because("reference-too-few", r.fact(), count("cells", len(used)), within("why", why))}
	}
	l := level{log: spread(used, traits[r].name), celsius: g.job.Conditions.ReferenceTemperatureC}
	if !g.energies[r].known {
		l.celsius, l.uncertaintyC = meanLevel(used)
	}
	return l
}

// spread is the mean of the levels with the effects that they share, and their standard deviation, widened for how few they are.
func spread(levels []level, of string) (mean logarithm) {
	n := float64(len(levels))
	values := make([]float64, len(levels))
	for i, l := range levels {
		values[i] = l.log.value
		mean = mean.plus(1/n, logarithm{l.log.value, sharedOf(l.log.effects), nil})
	}
	s := stat.StdDev(values, nil) * widening(len(levels)-1)
	mean = mean.with(effect{"spread of the reference cells", "spread/" + of, s, false})
	return mean.with(effect{"mean of the reference cells", "mean/" + of, s / math.Sqrt(n), false})
}

func sharedOf(effects []effect) (shared []effect) {
	for _, e := range effects {
		if e.shared {
			shared = append(shared, e)
		}
	}
	return shared
}

// meanLevel is the mean temperature of levels, °C, with its standard uncertainty.
func meanLevel(levels []level) (celsius, uncertainty float64) {
	n := float64(len(levels))
	for _, l := range levels {
		celsius += l.celsius / n
		uncertainty = math.Hypot(uncertainty, l.uncertaintyC/n)
	}
	return celsius, uncertainty
}

// referenceTemperature is where the group's values are stated: the reference temperature, unless nothing is corrected.
func (g grounds) referenceTemperature(f *footing) (celsius, uncertainty float64) {
	for _, r := range []resistance{chargeTransfer, ohmic} {
		if l := f.levels[r]; !l.reason.says() && !g.energies[ohmic].known && !g.energies[chargeTransfer].known {
			return l.celsius, l.uncertaintyC
		}
	}
	return g.job.Conditions.ReferenceTemperatureC, 0
}

// referenceNote states how far the spread itself can be trusted: the relative standard uncertainty of a standard
// deviation of n values is about 1/sqrt(2(n−1)) (JCGM 100:2008, E.4.3).
func referenceNote(n int) Statement {
	if n < 2 {
		return because("reference-one")
	}
	return because("reference-mean", count("cells", n), number("known_to", 1/math.Sqrt(2*float64(n-1)), Fraction))
}
