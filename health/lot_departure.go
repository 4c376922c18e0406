package health

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/job"
)

// Departure is how far a cell is from the reference group, in one growth: the natural logarithm of its growth over the
// group's mean, held against what measuring may be off by and against how the group itself spreads.
type Departure struct {
	Quantity    job.Quantity
	Log         float64 // ln of the growth; 0.1 is about 10 %
	Measurement float64 // standard uncertainty of Log from measuring the cell
	Group       float64 // standard uncertainty of Log from the group: its spread, and what its mean may be off by, not widened
	GroupCells  int
	Score       float64 // Log over both together
	// Critical is what chance exceeds with 5 %: Student's t with the effective degrees of freedom (JCGM 100:2008,
	// G.4.1), few where the group's spread dominates and the group is small.
	Critical float64
	Departs  bool   // Score beyond Critical, either way
	Dominant string // of the two uncertainties: "measurement" or "group"
	Because  Statement
	Reason   string // what Because says, in words
}

// LotDeparture sums up the departures of a lot's cells in one quantity.
type LotDeparture struct {
	Quantity                             job.Quantity
	Cells                                int // that have a departure
	Above, Below                         int // that depart
	MeasurementDominates, GroupDominates int
}

// groupSources are the budget lines that come from a reference group.
var groupSources = map[string]bool{"spread of the reference cells": true, "mean of the reference cells": true}

// departures of a cell's judged measurement from the reference cells; none where the baseline is something else.
func (g grounds) departures(s *specimen) (list []Departure) {
	if g.job.Baseline.Source != job.ReferenceCells || s.Latest < 0 {
		return nil
	}
	m := &s.Measurements[s.Latest]
	for _, of := range []struct {
		quantity job.Quantity
		growth   Growth
	}{{job.ChargeTransferGrowth, m.ChargeTransferGrowth}, {job.OhmicGrowth, m.OhmicGrowth}, {job.TotalResistanceGrowth, m.TotalGrowth}} {
		if of.growth.Ratio.Known() {
			d := departure(of.quantity, of.growth, len(s.Baseline.Cells))
			d.Reason = g.say.reason(d.Because)
			list = append(list, d)
		}
	}
	return list
}

func departure(q job.Quantity, growth Growth, groupCells int) Departure {
	d := Departure{Quantity: q, Log: math.Log(growth.Ratio.Estimate()), GroupCells: groupCells, Dominant: "measurement"}
	share := 0.0
	for _, c := range growth.Contributions {
		if groupSources[c.Source] {
			share += c.Share
		}
	}
	share = min(max(share, 0), 1)
	d.Group, d.Measurement = growth.LogU*math.Sqrt(share), growth.LogU*math.Sqrt(1-share)
	if groupCells > 1 { // few cells count once here, in Critical
		d.Group /= widening(groupCells - 1)
	}
	both := math.Hypot(d.Group, d.Measurement)
	share = square(d.Group / both)
	if d.Group > d.Measurement {
		d.Dominant = "group"
	}
	d.Score = d.Log / both
	d.Critical = distuv.UnitNormal.Quantile(0.975)
	if share > 0 && groupCells > 1 {
		d.Critical = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(groupCells-1) / (share * share)}.Quantile(0.975)
	}
	d.Departs = math.Abs(d.Score) > d.Critical
	code := "departure-within-" + d.Dominant
	if d.Departs {
		code = "departure-beyond-" + d.Dominant
	}
	d.Because = because(code, word("quantity", string(q)), number("departure", growth.Ratio.Estimate()-1, Fraction),
		number("measurement", d.Measurement, Fraction), number("group", d.Group, Fraction), count("cells", groupCells))
	return d
}

// depart sums up the departures of the lot's cells, in the order in which reports show quantities.
func (l *Lot) depart(cells []LotCell) {
	for _, q := range job.Quantities {
		sum := LotDeparture{Quantity: q}
		for i := range cells {
			for _, d := range cells[i].Departures {
				if d.Quantity == q {
					sum.count(d)
				}
			}
		}
		if sum.Cells > 0 {
			l.Departures = append(l.Departures, sum)
		}
	}
}

func (l *LotDeparture) count(d Departure) {
	l.Cells++
	if d.Dominant == "group" {
		l.GroupDominates++
	} else {
		l.MeasurementDominates++
	}
	switch {
	case d.Departs && d.Log > 0:
		l.Above++
	case d.Departs:
		l.Below++
	}
}
