package health

import "math"

// apartOnDay is the ratio of two arcs of one day at equal temperature, from which they are not two measurements of one cell in one state
// (common practice: repeats of a cell at rest agree within 5 %).
const apartOnDay = 1.25

// seeDayApart finds another measurement of the same day, with no use in between, whose arc is surely another, and of the day's others not
// more that agree with this one: rows of one day stand in any order where they state no time, and the last of them is judged.
func seeDayApart(v *sight) (facts []Fact) {
	if !v.past.Measurements[v.past.index].Quality.Accepted {
		return nothing
	}
	agree, differ := 0, 0
	for j := range v.past.Measurements {
		log, u, ok := v.repeats(j)
		switch {
		case !ok:
		case math.Abs(log) < math.Log(apartOnDay), math.Abs(log) < sure*u:
			agree++
		default:
			differ++
			ratio := math.Exp(log)
			facts = seen(word("file", v.past.Measurements[j].Row.File), v.past.when(j), uncertain("arc", ratio, ratio*u, One))
		}
	}
	if differ <= agree {
		return nothing
	}
	return facts
}

// seeBaselineApart finds that the spectra of the first day, which a later measurement is held against, contradict one another: their mean
// is that of no cell.
func seeBaselineApart(v *sight) []Fact {
	if v.past.isBaseline(v.past.index) {
		return nothing
	}
	for _, k := range v.past.Baseline.Measurements {
		m := &v.past.Measurements[k]
		member := &sight{job: v.job, row: m.Row, fixture: m.Fixture, past: &past{specimen: v.past.specimen, index: k, changing: v.past.changing}}
		if facts := seeDayApart(member); facts != nil {
			return append(facts, word("first", m.Row.File))
		}
	}
	return nothing
}

// repeats is the change of the logarithm of the arc from another measurement that this one should repeat, with its standard
// uncertainty: of the same day, state and wiring. False where it need not, or where one of the arcs is not had.
func (v *sight) repeats(j int) (change, u float64, ok bool) {
	other := &v.past.Measurements[j]
	if j == v.past.index || !other.Quality.Accepted || day(other.Row.MeasuredAt) != day(v.row.MeasuredAt) ||
		other.sensing() != v.sensing() || socApart(other.Row.SOCPercent, v.row.SOCPercent, v.job.Conditions.SOCTolerancePercent) || v.usedBetween(j) {
		return 0, 0, false
	}
	return v.past.changing(j, v.past.index, chargeTransfer)
}

// usedBetween reports whether the rows state that the cell was used between another measurement and this one, whichever was first.
func (v *sight) usedBetween(j int) bool {
	other := v.past.Measurements[j].Row
	for _, count := range [][2]*float64{{other.Cycles, v.row.Cycles}, {other.ThroughputAh, v.row.ThroughputAh}} {
		if count[0] != nil && count[1] != nil && *count[0] != *count[1] {
			return true
		}
	}
	return false
}
