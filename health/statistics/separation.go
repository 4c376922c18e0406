package statistics

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// OwnSpread is the τ for which the weighted squares Σ(x − μ)²/(u² + τ²) sum to so much; 0 where they do not reach it. It
// is sought on the inverse root of the sum, which is nearly straight in τ.
func OwnSpread(values, own []float64, sum float64) float64 {
	sd := stat.StdDev(values, nil)
	if !(sd > 0) {
		return 0
	}
	short := func(tau float64) float64 {
		return 1/math.Sqrt(WeightedSquares(values, own, tau*tau)) - 1/math.Sqrt(sum)
	}
	least := 1e-9 * sd
	at0 := short(least)
	if at0 >= 0 {
		return 0
	}
	reach := sd
	for short(reach) < 0 {
		reach *= 2
	}
	return ZeroWithin(short, least, reach, at0, short(reach))
}

// WeightedSquares are the weighted squared distances from the weighted mean.
func WeightedSquares(values, own []float64, variance float64) (sum float64) {
	weights := make([]float64, len(values))
	for i, u := range own {
		weights[i] = 1 / (u*u + variance)
	}
	mean := stat.Mean(values, weights)
	for i, v := range values {
		sum += weights[i] * squared(v-mean)
	}
	return sum
}
