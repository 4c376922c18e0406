package health

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/fit"
	"ohmledger/health/statistics"
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
	s.Own = statistics.OwnSpread(values, own, freedom)
	s.OwnInterval = fit.Interval{Lower: statistics.OwnSpread(values, own, chi.Quantile(0.975)), Upper: statistics.OwnSpread(values, own, chi.Quantile(0.025))}
	return s
}

func square(x float64) float64 { return x * x }
