package health

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/job"
	"ohmledger/health/statistics"
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

// Why the risks at a limit cannot be had: codes, of the blocks missing.lot-….
const (
	noLawForRisks  = "no-law-for-risks"
	outliersBeyond = "outliers-beyond"
	noRisks        = "no-risks"
)

// globalRisks sets the risks at each limit of a quantity, by the job's rule, or why there are none: where no law describes
// the lot, cells beyond the limit were left out as outliers, the cells are not normal on their scale, they have no spread of
// their own, or no uncertainty is stated.
func (d *LotQuantity) globalRisks(j *job.Job, cells []LotCell, k int) {
	prior, u, why := d.prior(cells, k)
	guard := 0.0
	if rules[j.DecisionRule.Kind].guarded {
		guard = j.DecisionRule.CoverageFactor * u
	}
	for _, l := range d.Limits {
		why := why
		bound := onScale([]float64{l.Bound}, d.Logarithmic)[0]
		switch {
		case why != "":
		case d.Outliers.beyond(l) > 0:
			why = outliersBeyond
		case math.IsNaN(bound) || math.IsInf(bound, 0):
			why = noRisks
		default:
			r := side(l, bound, guard).risks(prior.Prob, prior.Mu-9*prior.Sigma, prior.Mu+9*prior.Sigma, u)
			r.Limit = l
			d.Risks = append(d.Risks, r)
		}
		d.NoRisks = append(d.NoRisks, why)
	}
}

// prior is what cells of the lot are like, outliers left out, on the quantity's scale, and the standard uncertainty that they
// are measured with; or why it cannot be had.
func (d *LotQuantity) prior(cells []LotCell, k int) (prior distuv.Normal, u float64, why string) {
	if d.Adopted < 0 {
		return prior, 0, noLawForRisks
	}
	values, uncertainties := regular(cells, k, d.Outliers, d.Logarithmic)
	s := d.Separation
	if s == nil || !(s.Own > 0) || statistics.AndersonDarling(values).P < 0.01 {
		return prior, 0, noRisks
	}
	if u = statistics.MedianOf(uncertainties); !(u > 0) {
		return prior, 0, noRisks
	}
	return distuv.Normal{Mu: mean(values), Sigma: s.Own}, u, ""
}

// side is what conforms to one limit and what is accepted by it.
func side(l job.Limit, bound, guard float64) conformance {
	if l.Side == job.Min {
		return conformance{bound, math.Inf(1), bound + guard, math.Inf(1)}
	}
	return conformance{math.Inf(-1), bound, math.Inf(-1), bound - guard}
}

// beyond counts the outliers on the wrong side of a limit.
func (o Outliers) beyond(l job.Limit) int {
	values := make([]float64, len(o.Cells))
	for i, c := range o.Cells {
		values[i] = c.Value.Estimate()
	}
	return beyond(values, l)
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
