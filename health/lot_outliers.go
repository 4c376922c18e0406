package health

import (
	"cmp"
	"math"
	"slices"

	"ohmledger/fit"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
)

// Outliers of one quantity of a lot, on its logarithm where LotQuantity says so.
type Outliers struct {
	Logarithmic bool
	Level       float64 // of the generalised extreme studentised deviate test, for all its steps together
	Sought      int     // how many outliers the test looked for at most
	// ModifiedZLimit is beyond what a modified z marks an outlier; 0 where more than half of the cells are the same, so
	// that none can be had.
	ModifiedZLimit float64
	Cells          []Outlier // farthest first
}

// Outlier is a cell that one of the two tests marks, with what was measured about it.
type Outlier struct {
	Cell, Group  string
	Verdict      Verdict
	Value        fit.Value // unit of the quantity
	ByDeviate    bool      // marked by the generalised extreme studentised deviate test
	Deviate      float64   // its distance from the mean of those not yet taken, in their standard deviations; NaN where the test did not come to it
	DeviateLimit float64   // which chance would seldom exceed; likewise
	ModifiedZ    float64   // distance from the median in robust standard deviations; NaN where there is none
	// Uncertainties is the distance from the median in the cell's own standard uncertainties: small where measuring alone may
	// explain it. Infinite where none is stated.
	Uncertainties float64
	Others        []OtherQuantity // where the cell stands in the lot's other quantities
	Findings      []string        // codes of what was found about its measurement
}

// OtherQuantity is how far a cell is from the median of another quantity, in robust standard deviations.
type OtherQuantity struct {
	Quantity  job.Quantity
	ModifiedZ float64 // NaN where there is none
}

// outliersOf marks the outliers of the k-th quantity.
func outliersOf(cells []LotCell, k int, logarithmically bool) Outliers {
	had := having(cells, k)
	values := onScale(valuesOf(cells, k), logarithmically)
	o := Outliers{Logarithmic: logarithmically, Level: outlierLevel, Sought: mostOutliers(len(values))}
	z := statistics.ModifiedZ(values)
	if z != nil {
		o.ModifiedZLimit = statistics.ModifiedZLimit
	}
	steps := statistics.ExtremeDeviates(values, o.Sought, outlierLevel)
	taken := statistics.Rejected(steps)
	middle := statistics.Median(slices.Sorted(slices.Values(values)))
	for i, index := range had {
		c := &cells[index]
		mark := Outlier{Cell: c.Name, Group: c.Group, Verdict: c.Verdict, Value: c.Values[k].Value, Findings: c.Findings,
			Deviate: math.NaN(), DeviateLimit: math.NaN(), ModifiedZ: math.NaN()}
		if step := slices.IndexFunc(steps, func(d statistics.Deviate) bool { return d.Index == i }); step >= 0 {
			mark.Deviate, mark.DeviateLimit, mark.ByDeviate = steps[step].Ratio, steps[step].Lambda, step < taken
		}
		if z != nil {
			mark.ModifiedZ = z[i]
		}
		if !mark.ByDeviate && !(math.Abs(mark.ModifiedZ) > statistics.ModifiedZLimit) {
			continue
		}
		mark.Uncertainties = math.Abs(values[i]-middle) / onScaleU(c.Values[k].Value.Estimate(), c.Values[k].Own, logarithmically)
		o.Cells = append(o.Cells, mark)
	}
	slices.SortStableFunc(o.Cells, func(a, b Outlier) int { return cmp.Compare(math.Abs(b.distance()), math.Abs(a.distance())) })
	return o
}

// named are the names of the outliers.
func (o Outliers) named() map[string]bool {
	out := map[string]bool{}
	for _, m := range o.Cells {
		out[m.Cell] = true
	}
	return out
}

// distance orders outliers.
func (o Outlier) distance() float64 {
	if math.IsNaN(o.ModifiedZ) {
		return o.Deviate
	}
	return o.ModifiedZ
}

// onScaleU is a standard uncertainty on the scale of onScale.
func onScaleU(value, u float64, logarithmically bool) float64 {
	if logarithmically {
		return u / math.Abs(value)
	}
	return u
}

// compare says of each outlier where its cell stands in the other quantities.
func (l *Lot) compare(cells []LotCell, quantities []job.Quantity) {
	z := make([]map[string]float64, len(quantities))
	for k, q := range quantities {
		z[k] = standing(cells, k, spreadsByFactors(q))
	}
	for i := range l.Quantities {
		d := &l.Quantities[i]
		for n := range d.Outliers.Cells {
			o := &d.Outliers.Cells[n]
			for k, q := range quantities {
				if at, known := z[k][o.Cell]; q != d.Quantity {
					if !known {
						at = math.NaN()
					}
					o.Others = append(o.Others, OtherQuantity{q, at})
				}
			}
		}
	}
}

// standing is the modified z of each cell that has the k-th quantity.
func standing(cells []LotCell, k int, byFactors bool) map[string]float64 {
	had, values := having(cells, k), valuesOf(cells, k)
	byFactors = byFactors && len(values) > 0 && slices.Min(values) > 0
	z := statistics.ModifiedZ(onScale(values, byFactors))
	of := map[string]float64{}
	for i := range z {
		of[cells[had[i]].Name] = z[i]
	}
	return of
}

// separation parts the spread of the k-th quantity; outliers are left out.
func separation(cells []LotCell, k int, o Outliers) *SpreadSeparation {
	logarithmically := o.Logarithmic
	var values, own, common []float64
	out := o.named()
	for _, index := range having(cells, k) {
		c := &cells[index]
		if out[c.Name] {
			continue
		}
		v := c.Values[k]
		values = append(values, v.Value.Estimate())
		own = append(own, onScaleU(v.Value.Estimate(), v.Own, logarithmically))
		common = append(common, onScaleU(v.Value.Estimate(), math.Sqrt(max(0, square(v.Value.StandardUncertainty())-square(v.Own))), logarithmically))
	}
	if len(values) < 3 {
		return nil
	}
	s := separate(onScale(values, logarithmically), own)
	s.Logarithmic = logarithmically
	for _, u := range common {
		s.Common += u * u / float64(len(common))
	}
	s.Common = math.Sqrt(s.Common)
	s.Because = s.ruling()
	return &s
}

// ruling says whose spread it mostly is.
func (s SpreadSeparation) ruling() Statement {
	facts := []Fact{number("share", s.Share, Fraction)}
	switch {
	case s.Measurement == 0:
		return because("spread-without-uncertainty")
	case s.Share > 0.5:
		return because("spread-of-measurement", facts...)
	case s.Share > 0.1:
		return because("spread-of-both", facts...)
	}
	return because("spread-of-cells", facts...)
}

// The level of the test for outliers (common practice) and how many it looks for: a tenth of the cells, and one among few,
// because its limits hold for 15 values and more, or for a single outlier exactly (e-Handbook 1.3.5.17.3).
const outlierLevel = 0.05

func mostOutliers(n int) int {
	switch {
	case n < 3:
		return 0
	case n < 15:
		return 1
	}
	return min(max(2, n/10), 100)
}
