package health

import "gonum.org/v1/gonum/stat/distuv"

// widening is what a standard uncertainty that rests on a scatter of few degrees of freedom is multiplied by, so that twice
// it has the coverage that twice a certain one has, 95.45 %: t(0.97725; ν)/2 (JCGM 100:2008, G.3.2 and table G.2). 6.98 for one
// degree of freedom, 2.26 for two, 1.65 for three, 1.32 for five, near 1 for many.
func widening(free int) float64 {
	const claimed = 2 // the coverage factor whose claim is kept
	return distuv.StudentsT{Sigma: 1, Nu: float64(free)}.Quantile(distuv.UnitNormal.CDF(claimed)) / claimed
}
