package health

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
)

// SpreadSeparation parts the spread of a lot into what the cells differ by and what measuring them added. Outliers are
// left out. In the quantity's unit, or relative where Logarithmic.
type SpreadSeparation struct {
	Logarithmic bool
	Cells       int     // that it rests on
	Observed    float64 // standard deviation as measured
	// Measurement is the root mean square of the uncertainties that each cell has of its own; 0 where none is stated.
	Measurement float64
	// Own is what the cells differ by, with its 95 % interval (Paule and Mandel, J. Res. NBS 87 (1982) 377; interval from the same
	// equation, Viechtbauer, Stat. Med. 26 (2007) 37).
	Own         float64
	OwnInterval fit.Interval
	// Share of the variance that is the measurement's, 0 to 1.
	Share float64
	// Common is the standard uncertainty that all cells share: it moves the lot and spreads none of it.
	Common  float64
	Because Statement // whose spread it mostly is
	Reason  string    // what Because says, in words
}

// separate parts values on their scale, each with its own uncertainty.
func separate(values, own []float64) (s SpreadSeparation) {
	s.Cells = len(values)
	s.Observed = stat.StdDev(values, nil)
	variance := 0.0
	for _, u := range own {
		variance += u * u / float64(len(own))
	}
	s.Measurement = math.Sqrt(variance)
	if s.Observed > 0 {
		s.Share = min(1, variance/square(s.Observed))
	}
	freedom := float64(len(values) - 1)
	chi := distuv.ChiSquared{K: freedom}
	s.Own = ownSpread(values, own, freedom)
	s.OwnInterval = fit.Interval{Lower: ownSpread(values, own, chi.Quantile(0.975)), Upper: ownSpread(values, own, chi.Quantile(0.025))}
	return s
}

// ownSpread is the τ for which the weighted squares Σ(x − μ)²/(u² + τ²) sum to so much; 0 where they do not reach it. It
// is sought on the inverse root of the sum, which is nearly straight in τ.
func ownSpread(values, own []float64, sum float64) float64 {
	sd := stat.StdDev(values, nil)
	if !(sd > 0) {
		return 0
	}
	short := func(tau float64) float64 {
		return 1/math.Sqrt(weightedSquares(values, own, tau*tau)) - 1/math.Sqrt(sum)
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
	return zeroWithin(short, least, reach, at0, short(reach))
}

// weightedSquares are the weighted squared distances from the weighted mean.
func weightedSquares(values, own []float64, variance float64) (sum float64) {
	weights := make([]float64, len(values))
	for i, u := range own {
		weights[i] = 1 / (u*u + variance)
	}
	mean := stat.Mean(values, weights)
	for i, v := range values {
		sum += weights[i] * square(v-mean)
	}
	return sum
}
