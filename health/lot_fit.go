package health

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"ohmledger/fit"
	"ohmledger/health/job"
	"ohmledger/health/statistics"
)

// DistributionFit is a normal distribution laid on values or on their logarithms, with what follows if it holds. Limits
// and intervals are in the unit of the quantity whichever it is.
type DistributionFit struct {
	Law                            string  // "normal" or "lognormal"
	Location, Scale                float64 // mean and standard deviation, of the natural logarithm where lognormal
	Normality                      statistics.NormalityTest
	Plot                           []statistics.ProbabilityPoint // of a large lot not every point
	PlotCorrelation                float64                       // of all points of the plot, 1 where they lie on a line; logarithms where lognormal
	Tolerance                      statistics.ToleranceInterval
	LowerTolerance, UpperTolerance statistics.ToleranceInterval // one-sided
	Capability                     *Capability                  // nil where the job sets no limit of the quantity
}

// The content and confidence that lots are described with (common practice: 95/95).
const (
	toleranceContent    = 0.95
	toleranceConfidence = 0.95
)

// distributionLaws are the two, with the scale on which each is normal.
var distributionLaws = []struct {
	name string
	scale
}{{"normal", linear}, {"lognormal", logarithmic}}

// distributions lays both laws on sorted values; none where nothing varies, and no lognormal one where a value is not positive.
func distributions(sorted []float64, limits []job.Limit) (fits []DistributionFit) {
	if len(sorted) < 3 || sorted[0] == sorted[len(sorted)-1] {
		return nil
	}
	k := statistics.NewToleranceFactors(len(sorted), toleranceContent, toleranceConfidence)
	for _, law := range distributionLaws {
		if law.name == "lognormal" && sorted[0] <= 0 {
			continue
		}
		fits = append(fits, distribution(k, law.name, law.scale, sorted, limits))
	}
	return fits
}

func distribution(k statistics.ToleranceFactors, name string, on scale, sorted []float64, limits []job.Limit) DistributionFit {
	values := make([]float64, len(sorted))
	for i, v := range sorted {
		values[i] = on.onto(v)
	}
	d := DistributionFit{Law: name, Normality: statistics.AndersonDarling(values)}
	d.Location, d.Scale = stat.MeanStdDev(values, nil)
	d.Tolerance, d.LowerTolerance, d.UpperTolerance = k.Tolerance(d.Location, d.Scale)
	for _, t := range []*statistics.ToleranceInterval{&d.Tolerance, &d.LowerTolerance, &d.UpperTolerance} {
		t.Interval = fit.Interval{Lower: on.back(t.Lower), Upper: on.back(t.Upper)}
	}
	d.Plot, d.PlotCorrelation = statistics.ProbabilityPlot(sorted), plotCorrelation(values)
	d.Capability = capability(values, d.Location, d.Scale, on, limits)
	return d
}

// plotCorrelation of the probability plot's points with a straight line (NIST/SEMATECH e-Handbook 1.3.3.22).
func plotCorrelation(sorted []float64) float64 {
	normal := make([]float64, len(sorted))
	for i := range normal {
		normal[i] = normalQuantile(statistics.Filliben(i, len(sorted)))
	}
	return stat.Correlation(normal, sorted, nil)
}

// adopted is the index of the law that describes the lot: the one with the smaller statistic of those that the test does not
// reject at 5 %. −1 where it rejects both or cannot be made.
func adopted(fits []DistributionFit) int {
	best := -1
	for i, d := range fits {
		if d.Normality.Statistic <= statistics.NormalityCritical && (best < 0 || d.Normality.Statistic < fits[best].Normality.Statistic) {
			best = i
		}
	}
	return best
}

// factorQuantities are those that are positive by nature and change by factors: they are compared on their logarithm.
var factorQuantities = []job.Quantity{job.OhmicOhm, job.ChargeTransferOhm, job.ACResistance1kHzOhm,
	job.OhmicGrowth, job.ChargeTransferGrowth, job.TotalResistanceGrowth}

func spreadsByFactors(q job.Quantity) bool { return slices.Contains(factorQuantities, q) }

// onScale returns the values, or their natural logarithms.
func onScale(values []float64, logarithmically bool) []float64 {
	if !logarithmically {
		return slices.Clone(values)
	}
	logs := make([]float64, len(values))
	for i, v := range values {
		logs[i] = math.Log(v)
	}
	return logs
}
