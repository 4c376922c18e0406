package health

import (
	"math"
	"slices"

	"ohmledger/health/statistics"
)

// growthLaw is how a quantity goes with what a cell has been through: a + b·u^p, u being the axis over its span.
type growthLaw struct {
	name         string
	exponents    []float64 // that p may be; several: p is one of them, all as likely before the data are seen
	coefficients int       // fitted numbers without the scatter
}

// The laws. A square root is what a layer gives that grows by diffusion through itself, a line what goes at one pace
// (common practice); the power stands for all that is between and beyond, accelerating ones included.
var growthLaws = []*growthLaw{
	{"linear", []float64{1}, 2},
	{"square root", []float64{0.5}, 2},
	{"power", []float64{0.3, 0.36, 0.43, 0.6, 0.72, 0.86, 1.2, 1.44, 1.73, 2.07, 2.5, 3}, 3},
}

func (l *growthLaw) row(u, exponent float64) []float64 { return []float64{1, math.Pow(u, exponent)} }

// slope is the row's derivative by the axis. A root begins with an infinite slope, which is taken a thousandth of the
// span further on.
func (l *growthLaw) slope(u, span, exponent float64) []float64 {
	return []float64{0, exponent * math.Pow(max(u, 1e-3), exponent-1) / span}
}

// Error models that are tried beside independent errors: wandering about the law by so many times the variance of a
// single measurement, with a memory of so much of the span; and a rate whose walk over the span makes so many times that
// variance.
var (
	wanderVariances = []float64{0.5, 3, 20}
	wanderLengths   = []float64{0.1, 0.3, 1}
	driftVariances  = []float64{1, 10, 100, 1000}
)

// errorModels gives each with the logarithm of its share before the data are seen: a third for each of the three kinds.
func errorModels(span float64) (models []statistics.ErrorModel, prior []float64) {
	add := func(m statistics.ErrorModel, of int) {
		models, prior = append(models, m), append(prior, -math.Log(float64(of)))
	}
	add(statistics.Independent(), 1)
	for _, v := range wanderVariances {
		for _, l := range wanderLengths {
			add(statistics.Wandering(v, l*span), len(wanderVariances)*len(wanderLengths))
		}
	}
	for _, v := range driftVariances {
		add(statistics.WalkingRate(v/(span*span*span)), len(driftVariances))
	}
	return models, prior
}

// Akaike's criterion corrected for few points (Hurvich and Tsai, Biometrika 76 (1989) 297): n·ln(S/n) + ln|V| + 2k +
// 2k(k+1)/(n−k−1), k counting the scatter. With so few points that the correction has no sense, only laws with the
// fewest coefficients are compared, and it is the same for all of them.
func correctedAkaike(r *statistics.Regression, n, k float64) float64 {
	likelihood := n*math.Log(max(r.Squares/n, math.SmallestNonzeroFloat64)) + r.LogDet
	if n-k-1 <= 0 {
		return likelihood + 2*k
	}
	return likelihood + 2*k + 2*k*(k+1)/(n-k-1)
}

// leastShare is below what a model is left out.
const leastShare = 3e-3

// models fits every law with every error model and weighs them by exp(−ΔAICc/2) (Burnham and Anderson, Model Selection
// and Multimodel Inference, 2002, section 2.9), so that what is not known about law and errors is in the forecast. A
// power that drifts is left out: both say the same.
func (s *series) models() (m mixture) {
	errors, prior := errorModels(s.span())
	n := float64(len(s.x))
	for _, law := range growthLaws {
		k := float64(law.coefficients + 1)
		if n-k-1 <= 0 && law.coefficients > 2 {
			continue
		}
		for _, p := range law.exponents {
			rows := s.rows(law, p)
			for e, model := range errors {
				if model.Name == statistics.DriftingRate && law.coefficients > 2 {
					continue
				}
				r := statistics.RegressOn(s.x, rows, s.y, s.noise, model)
				aicc := correctedAkaike(r, n, k)
				r.Variance = max(r.Variance, s.stated)
				m = append(m, forecaster{law: law, exponent: p, fit: r, aicc: aicc, weight: prior[e] - math.Log(float64(len(law.exponents)))})
			}
		}
	}
	return m.weighed()
}

func (s *series) rows(law *growthLaw, exponent float64) [][]float64 {
	rows := make([][]float64, len(s.x))
	for i, x := range s.x {
		rows[i] = law.row(x/s.span(), exponent)
	}
	return rows
}

// weighed turns criteria and prior logarithms into weights.
func (m mixture) weighed() (kept mixture) {
	best := math.Inf(-1)
	for _, f := range m {
		best = max(best, f.weight-f.aicc/2)
	}
	sum := 0.0
	for _, f := range m {
		f.weight = math.Exp(f.weight - f.aicc/2 - best)
		kept = append(kept, f)
		sum += f.weight
	}
	kept = slices.DeleteFunc(kept, func(f forecaster) bool { return f.weight < leastShare*sum })
	sum = 0
	for _, f := range kept {
		sum += f.weight
	}
	for i := range kept {
		kept[i].weight /= sum
	}
	return kept
}

// shares sums the weights of a mixture by law, in the order of growthLaws.
func (m mixture) shares() []float64 {
	shares := make([]float64, len(growthLaws))
	for _, f := range m {
		shares[slices.Index(growthLaws, f.law)] += f.weight
	}
	return shares
}

// shown is the law with the largest share, as the likeliest of its fits with a steady rate has it: what is drawn and named.
func (s *series) shown(m mixture) forecaster {
	shares := m.shares()
	law := growthLaws[slices.Index(shares, slices.Max(shares))]
	var best *forecaster
	for i := range m {
		f := &m[i]
		if f.law == law && f.fit.Model.Name != statistics.DriftingRate && (best == nil || f.weight > best.weight) {
			best = f
		}
	}
	if best != nil {
		return *best
	}
	r := statistics.RegressOn(s.x, s.rows(law, law.exponents[0]), s.y, s.noise, statistics.Independent())
	r.Variance = max(r.Variance, s.stated)
	return forecaster{law: law, exponent: law.exponents[0], fit: r, aicc: correctedAkaike(r, float64(len(s.x)), float64(law.coefficients+1))}
}
