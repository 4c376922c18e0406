package job

import (
	"math"
	"strings"
)

// What is stated in a wrong unit is off by a factor that no cell shows. The bounds are wide, so that they catch milliohms
// that were written as ohms, and milliampere-hours as ampere-hours, but nothing that was measured (common practice).
const (
	mostOverRated   = 100.0 // times the rated resistance, and as small a part of it
	mostOverNominal = 2.0   // times the nominal capacity
	mostOverFirst   = 2.0   // times a cell's first capacity
	leastOfFirst    = 0.01  // of either
)

const writeAmpereHours = "write ampere-hours: 2500 mAh are 2.5"

// isFraction says whether a percentage looks like a fraction of one.
func isFraction(percent *float64) bool { return percent != nil && *percent > 0 && *percent < 1 }

// checkCharge refuses a state of charge that is aimed at as a fraction: the tolerance, in percent, would allow any.
func (r *reading) checkCharge(j *Job, at place) {
	if soc := j.Conditions.SOCPercent; isFraction(soc) {
		r.refuse(at, "write "+short(math.Round(*soc*100)), "%s looks like a fraction of one; percent are needed", short(*soc))
	}
}

// fractions refuses a column of states of charge that are all fractions of one.
func (s *sheet) fractions(list []Measurement) {
	first := -1
	for i, m := range list {
		if m.SOCPercent != nil && *m.SOCPercent > 1 {
			return
		}
		if first < 0 && isFraction(m.SOCPercent) {
			first = i
		}
	}
	if first >= 0 {
		c := s.at(first, "soc_percent")
		s.fault(c, "write 50 for half full", "soc_percent: %s looks like a fraction of one, and nothing in the column is over 1; percent are needed", c.Text)
	}
}

// capacities refuses one that no cell of the type has, and one that is nothing like the cell's first.
func (s *sheet) capacities(list []Measurement, nominal float64) {
	fresh := firstCapacities(list)
	for i, m := range list {
		first, stated := fresh[m.Cell]
		if !stated || m.CapacityAh == nil || !(*m.CapacityAh > 0) {
			continue
		}
		capacity, before := *m.CapacityAh, *first.CapacityAh
		switch {
		case nominal > 0 && capacity > mostOverNominal*nominal:
			s.fault(s.at(i, "capacity_ah"), writeAmpereHours, "capacity_ah: %s is %s times the nominal capacity of %s, %s", short(capacity), times(capacity/nominal), jobFile, short(nominal))
		case nominal > 0 && capacity < leastOfFirst*nominal:
			s.fault(s.at(i, "capacity_ah"), "write both in ampere-hours: 2500 mAh are 2.5; leave it blank where the cell gave nothing", "capacity_ah: %s is %s times the nominal capacity of %s, %s", short(capacity), times(capacity/nominal), jobFile, short(nominal))
		case capacity > mostOverFirst*before, capacity < leastOfFirst*before:
			s.fault(s.at(i, "capacity_ah"), writeAmpereHours+"; or correct the one that is wrong", "capacity_ah: %s is %s times the cell's first one, %s in line %d; no cell changes so much",
				short(capacity), times(capacity/before), short(before), first.Line)
		}
	}
}

// firstCapacities are the earliest measurements of each cell that state a capacity.
func firstCapacities(list []Measurement) map[string]Measurement {
	first := map[string]Measurement{}
	for _, m := range list {
		earlier, known := first[m.Cell]
		if m.CapacityAh != nil && *m.CapacityAh > 0 && (!known || m.MeasuredAt.Before(earlier.MeasuredAt)) {
			first[m.Cell] = m
		}
	}
	return first
}

// checkSizes holds limits and declared values against what the cells are rated at.
func (r *reading) checkSizes(j *Job, root place) {
	r.checkLimits(j.Cell, root.below("limits"))
	for _, item := range root.below("grades").items {
		r.checkLimits(j.Cell, place{"grades", item}.below("limits"))
	}
	declared := root.below("baseline").below("declared")
	r.checkDeclared(j.Baseline.Ohmic, j.Cell, declared.below("ohmic_ohm"))
	r.checkDeclared(j.Baseline.ChargeTransfer, j.Cell, declared.below("charge_transfer_ohm"))
}

func (r *reading) checkLimits(kind CellType, at place) {
	for _, item := range at.items {
		quantity := item.under("quantity").text
		for _, name := range []string{"max", "min"} {
			bound := place{at.path, item}.below(name)
			switch {
			case strings.HasSuffix(quantity, "_ohm"):
				r.checkResistance(bound, kind.RatedACResistance1kHzOhm)
			case Quantity(quantity) == CapacityAh:
				r.checkCapacity(bound, kind.NominalCapacityAh)
			}
		}
	}
}

// checkDeclared refuses a baseline of another size than the cells', and one that is no better known than nothing.
func (r *reading) checkDeclared(s *Stated, kind CellType, at place) {
	if s == nil {
		return
	}
	r.checkResistance(at.below("value"), kind.RatedACResistance1kHzOhm)
	if u := at.below("standard_uncertainty"); s.Value > 0 && s.StandardUncertainty >= s.Value && r.sound(u) {
		r.refuse(u, "state the uncertainty of the value, or leave both blank", "%s is not below the value, %s: no growth can be told by it", short(s.StandardUncertainty), short(s.Value))
	}
}

func (r *reading) checkResistance(at place, rated float64) {
	if value, ok := at.number(r); ok && rated > 0 && (value > mostOverRated*rated || value < rated/mostOverRated) {
		r.refuse(at, "write both in ohms: 30 mΩ are 0.03", "%s is %s times cell.rated_ac_resistance_1khz_ohm, %s", short(value), times(value/rated), short(rated))
	}
}

func (r *reading) checkCapacity(at place, nominal float64) {
	if value, ok := at.number(r); ok && nominal > 0 && value > mostOverNominal*nominal {
		r.refuse(at, writeAmpereHours, "%s is %s times cell.nominal_capacity_ah, %s", short(value), times(value/nominal), short(nominal))
	}
}
