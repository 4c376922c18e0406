package health

import (
	"math"
	"slices"
)

// What makes smaller resistances a contradiction: use makes both grow (common practice). An arc may shrink by itself in a cell's first
// cycles, while the ohmic resistance stays or grows; both together fall only where a file, a temperature or a charge is not what is stated.
const (
	fallenArc   = 0.8  // times what it was, from which an arc is smaller than cells in use repeat
	fallenOhmic = 0.95 // the same of the ohmic resistance
	usedDays    = 30   // between two measurements, from which a cell has aged where no cycles and no throughput are stated (common practice)
)

// fall is what a measurement's resistances are of those at an earlier one, at equal temperature, with standard uncertainties.
type fall struct {
	from               int // index of the earlier measurement
	arc, arcU          float64
	ohmic, ohmicU      float64 // 0: not comparable
	how                string  // the cell was used in between: "cycles", "throughput_ah" or "days"
	before, after      float64 // what counts the use
	arcFell, ohmicFell bool
}

// fallFrom compares with an earlier measurement. False where one of the arcs is not had, or nothing says that the cell was used.
func (v *sight) fallFrom(j int) (f fall, ok bool) {
	f = fall{from: j}
	if f.how, f.before, f.after = v.usedSince(j); f.how == "" {
		return f, false
	}
	f.ohmic, f.ohmicU, f.ohmicFell = v.ratioTo(j, ohmic, fallenOhmic)
	f.arc, f.arcU, f.arcFell = v.ratioTo(j, chargeTransfer, fallenArc)
	return f, f.arc > 0
}

// ratioTo is the ratio of a resistance to that of an earlier measurement, with its standard uncertainty, and whether it is below a bound
// and surely below one; 0 where one of the two does not count.
func (v *sight) ratioTo(j int, r resistance, bound float64) (ratio, u float64, surely bool) {
	i := v.past.index
	log, logU, ok := v.past.changing(j, i, r)
	if !ok || v.past.growing(i, r).reason.says() || v.past.growing(j, r).reason.says() {
		return 0, 0, false
	}
	ratio = math.Exp(log)
	return ratio, ratio * logU, ratio < bound && log+2*logU < 0
}

// isBaseline reports whether a measurement is one of those that the cell's growths are measured against.
func (p *past) isBaseline(i int) bool {
	return slices.Contains(p.Baseline.Measurements, i)
}

// usedSince says by what the row shows that the cell was used since an earlier measurement; "" where it does not.
func (v *sight) usedSince(j int) (how string, before, after float64) {
	switch a, b := v.past.Measurements[j].Row, v.row; {
	case a.Cycles != nil && b.Cycles != nil:
		how, before, after = "cycles", *a.Cycles, *b.Cycles
	case a.ThroughputAh != nil && b.ThroughputAh != nil:
		how, before, after = "throughput_ah", *a.ThroughputAh, *b.ThroughputAh
	default:
		how, after = "days", math.Floor(b.MeasuredAt.Sub(a.MeasuredAt).Hours()/24)
		before = min(after, usedDays-1)
	}
	if after <= before {
		return "", 0, 0
	}
	return how, before, after
}

// start is the first of the measurements that the others are held against.
func (p *past) start() int {
	if b := p.Baseline.Measurements; len(b) > 0 {
		return b[0]
	}
	return slices.IndexFunc(p.Measurements, func(m Measurement) bool { return m.Quality.Accepted })
}

// falls finds that the resistances are smaller than at the start, or than at both measurements before: smaller than at one of these may
// be that one's fault.
func (v *sight) falls(fell func(f fall) bool) (found fall, ok bool) {
	if v.past == nil || v.past.growing == nil || v.past.isBaseline(v.past.index) || !v.past.Measurements[v.past.index].Quality.Accepted {
		return fall{}, false
	}
	start, before := v.past.start(), 0
	if f, ok := v.fallFrom(start); ok && start < v.past.index && fell(f) {
		return f, true
	}
	for j := v.past.index - 1; j > start && before < 2; j-- {
		f, ok := v.fallFrom(j)
		switch {
		case !ok:
			continue
		case !fell(f):
			return fall{}, false
		case before == 0:
			found = f
		}
		before++
	}
	return found, before == 2
}

// seeResistancesFell leaves a fall that no cell's ohmic resistance shows to what tells of wrong units.
func seeResistancesFell(v *sight) []Fact {
	f, ok := v.falls(func(f fall) bool { return f.arcFell && f.ohmicFell && f.ohmic > impossiblyLow })
	if !ok {
		return nothing
	}
	return v.fallFacts(f)
}

// seeArcFell is about the measurement that the cell is judged by.
func seeArcFell(v *sight) []Fact {
	f, ok := v.falls(func(f fall) bool { return f.arcFell && !f.ohmicFell })
	if !ok || !v.past.isLatest() {
		return nothing
	}
	return v.fallFacts(f)
}

// isLatest reports whether no later measurement counts.
func (p *past) isLatest() bool {
	return !slices.ContainsFunc(p.Measurements[p.index+1:], func(m Measurement) bool { return m.Quality.Accepted })
}

func (v *sight) fallFacts(f fall) []Fact {
	return seen(uncertain("arc", f.arc, f.arcU, One), uncertain("ohmic", f.ohmic, f.ohmicU, One), v.past.when(f.from),
		word("how", f.how), number("before", f.before, One), number("after", f.after, One))
}
