package health

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/job"
)

// GlobalRisk is what a decision rule does to a lot as it is (JCGM 106:2012, 9.5): with the spread that the cells have of
// their own, normal on the quantity's scale, and the uncertainty that they are measured with; outliers are left out.
// Fractions of all cells, 0 to 1.
type GlobalRisk struct {
	Limit         job.Limit
	Nonconforming float64 // cells that are truly beyond the limit
	Consumers     float64 // cells that are beyond it and are passed
	Producers     float64 // cells that are within it and are not passed
}

// conformance is what is true of a cell and what is accepted when measured, both between limits, which may be infinite.
type conformance struct{ lower, upper, acceptLower, acceptUpper float64 }

// risks integrates over what a cell may truly be: density from low to high, measured with the standard uncertainty u.
func (c conformance) risks(density func(x float64) float64, low, high, u float64) (r GlobalRisk) {
	passed := func(x float64) float64 {
		p := distuv.Normal{Mu: x, Sigma: u}
		return p.CDF(c.acceptUpper) - p.CDF(c.acceptLower)
	}
	over := func(from, to float64, f func(x float64) float64) float64 {
		from, to = max(from, low), min(to, high)
		const panels = 8
		sum := 0.0
		for i := range panels {
			if width := (to - from) / panels; width > 0 {
				sum += quad.Fixed(f, from+float64(i)*width, from+float64(i+1)*width, 40, nil, 0)
			}
		}
		return sum
	}
	within := over(c.lower, c.upper, density)
	r.Nonconforming = over(low, high, density) - within
	r.Producers = within - over(c.lower, c.upper, func(x float64) float64 { return density(x) * passed(x) })
	r.Consumers = over(low, c.lower, func(x float64) float64 { return density(x) * passed(x) }) +
		over(c.upper, high, func(x float64) float64 { return density(x) * passed(x) })
	return r
}

// globalRisks are those of each limit of a quantity, by the job's rule. There are none where the cells are not normal on
// their scale, where they have no spread of their own, or where no uncertainty is stated.
func globalRisks(j *job.Job, cells []LotCell, k int, d *LotQuantity) (list []GlobalRisk) {
	values, uncertainties := regular(cells, k, d.Outliers, d.Logarithmic)
	s := d.Separation
	if s == nil || !(s.Own > 0) || andersonDarling(values).P < 0.01 {
		return nil
	}
	u := medianOf(uncertainties)
	if !(u > 0) {
		return nil
	}
	guard := 0.0
	if rules[j.DecisionRule.Kind].guarded {
		guard = j.DecisionRule.CoverageFactor * u
	}
	prior := distuv.Normal{Mu: mean(values), Sigma: s.Own}
	for _, l := range d.Limits {
		bound := onScale([]float64{l.Bound}, d.Logarithmic)[0]
		if math.IsNaN(bound) || math.IsInf(bound, 0) {
			continue
		}
		c := conformance{math.Inf(-1), bound, math.Inf(-1), bound - guard}
		if l.Side == job.Min {
			c = conformance{bound, math.Inf(1), bound + guard, math.Inf(1)}
		}
		r := c.risks(prior.Prob, prior.Mu-9*prior.Sigma, prior.Mu+9*prior.Sigma, u)
		r.Limit = l
		list = append(list, r)
	}
	return list
}

// regular are the values of the k-th quantity on its scale without outliers, with their standard uncertainties.
func regular(cells []LotCell, k int, o Outliers, logarithmically bool) (values, uncertainties []float64) {
	out := o.named()
	for _, i := range having(cells, k) {
		if v := cells[i].Values[k].Value; !out[cells[i].Name] {
			values = append(values, v.Estimate())
			uncertainties = append(uncertainties, onScaleU(v.Estimate(), v.StandardUncertainty(), logarithmically))
		}
	}
	return onScale(values, logarithmically), uncertainties
}
