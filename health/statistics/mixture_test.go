package statistics

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"ohmledger/health/internal/published"
)

func TestMixtureQuantiles(t *testing.T) {
	s := StudentMixture{{0.5, 0, 1, 5}, {0.3, 2, 0.5, 30}, {0.2, -1, 3, 2}}
	before := math.Inf(-1)
	for _, p := range []float64{0.01, 0.025, 0.3, 0.5, 0.84, 0.975, 0.999} {
		q := s.Quantile(p)
		published.Agrees(t, "there and back", s.Below(q), p, 2e-5)
		if q <= before {
			t.Errorf("quantile %v falls", p)
		}
		before = q
	}
	published.Agrees(t, "certain", StudentMixture{{1, 3, 0, 5}}.Quantile(0.2), 3, 0)
	published.Agrees(t, "one member", StudentMixture{{1, 1, 2, 7}}.Quantile(0.975), 1+2*distuv.StudentsT{Sigma: 1, Nu: 7}.Quantile(0.975), 1e-4)
}

func TestStudentCDF(t *testing.T) {
	for _, freedom := range []int{1, 2, 3, 4, 7, 12, 51, 300} {
		for _, x := range []float64{-40, -3, -0.2, 0, 1, 2.5, 60} {
			published.Agrees(t, "CDF", studentCDF(x, freedom), distuv.StudentsT{Sigma: 1, Nu: float64(freedom)}.CDF(x), 1e-12)
		}
	}
}
