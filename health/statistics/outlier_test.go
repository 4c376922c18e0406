package statistics

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"ohmledger/health/internal/published"
)

// NIST/SEMATECH e-Handbook 1.3.5.17.1.
var uraniumMasses = []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}

func TestGrubbsHandbook(t *testing.T) {
	mean, sd := stat.MeanStdDev(uraniumMasses, nil)
	published.Agrees(t, "mean", mean, 206.43375, 1e-9)
	published.Agrees(t, "sd", sd, 15.852564, 1e-6)
	step := ExtremeDeviates(uraniumMasses, 1, 0.05)
	published.Agrees(t, "G", step[0].Ratio, 2.468765, 1e-6)
	published.Agrees(t, "two-sided limit", step[0].Lambda, 2.126645, 1e-6)
	published.Agrees(t, "one-sided limit", grubbsLimit(8, 0.05), 2.031652, 1e-6)
	if Rejected(step) != 1 || uraniumMasses[step[0].Index] != 245.57 {
		t.Errorf("%+v", step)
	}
}

// NIST Dataplot, Grubbs test on VANGEL31: no outlier. Printed limits are interpolated, so they agree to 0.002.
func TestGrubbsNoOutlier(t *testing.T) {
	y := published.Column(t, "published", "handbook.csv", "VANGEL31", "y")
	step := ExtremeDeviates(y, 1, 0.05)
	published.Agrees(t, "G", step[0].Ratio, 2.4312, 1e-4)
	for alpha, want := range map[float64]float64{0.10: 2.846, 0.05: 3.013, 0.025: 3.169, 0.01: 3.355} {
		published.Agrees(t, "limit", grubbsLimit(len(y), alpha/2), want, 2e-3)
	}
	if Rejected(step) != 0 {
		t.Error("an outlier was found")
	}
}

// NIST/SEMATECH e-Handbook 1.3.5.17.3 (Rosner, 1983): three outliers of 54 values, although neither the first nor the second step
// exceeds its limit.
func TestExtremeDeviatesRosner(t *testing.T) {
	y := published.Column(t, "published", "handbook.csv", "ROSNER", "y")
	steps := ExtremeDeviates(y, 10, 0.05)
	ratios := []float64{3.118906, 2.942973, 3.179424, 2.810181, 2.815580, 2.848172, 2.279327, 2.310366, 2.101581, 2.067178}
	limits := []float64{3.158794, 3.151430, 3.143890, 3.136165, 3.128247, 3.120128, 3.111796, 3.103243, 3.094456, 3.085425}
	for i, s := range steps {
		published.Agrees(t, "R", s.Ratio, ratios[i], 1e-6)
		published.Agrees(t, "lambda", s.Lambda, limits[i], 1e-6)
	}
	var found []float64
	for _, s := range steps[:Rejected(steps)] {
		found = append(found, y[s.Index])
	}
	if !slices.Equal(found, []float64{6.01, 5.42, 5.34}) {
		t.Errorf("outliers %v", found)
	}
}

// EPA 530/R-09-007 (2009), Example 12-4.
func TestExtremeDeviatesEPA124(t *testing.T) {
	y := published.Column(t, "published", "epa.csv", "ex12-4", "y")
	steps := ExtremeDeviates(y, 2, 0.05)
	for i, want := range []Deviate{{Ratio: 3.930957, Lambda: 2.821681}, {Ratio: 4.160223, Lambda: 2.801551}} {
		published.Agrees(t, "R", steps[i].Ratio, want.Ratio, 1e-6)
		published.Agrees(t, "lambda", steps[i].Lambda, want.Lambda, 1e-6)
	}
	if Rejected(steps) != 2 || y[steps[0].Index] != 35.45 || y[steps[1].Index] != 23.23 {
		t.Errorf("%+v", steps)
	}
}

// The rule of Iglewicz and Hoaglin on the data of e-Handbook 1.3.5.17.1; values recomputed.
func TestModifiedZ(t *testing.T) {
	published.Agrees(t, "median", Median(uraniumMasses), 201.37, 1e-9)
	published.Agrees(t, "MAD", MedianDeviation(uraniumMasses), 0.995, 1e-9)
	z := ModifiedZ(uraniumMasses)
	published.Agrees(t, "first", z[0], -1.3965, 5e-5)
	published.Agrees(t, "last", z[7], 29.9627, 5e-5)
	beyond := 0
	for _, v := range z {
		if math.Abs(v) > ModifiedZLimit {
			beyond++
		}
	}
	if beyond != 1 || ModifiedZ([]float64{1, 1, 1, 2}) != nil {
		t.Errorf("%d beyond the limit", beyond)
	}
}
